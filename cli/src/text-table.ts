/**
 * Lines of a table for a terminal: the first column to the left, the others to the right, two
 * spaces between. All rows have as many cells as the headings.
 */
export function textTable(
  headings: readonly string[],
  rows: readonly (readonly string[])[],
): string[] {
  const widths = headings.map((heading, i) =>
    Math.max(heading.length, ...rows.map((row) => (row[i] ?? '').length)),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => (i === 0 ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0)))
      .join('  ')
      .trimEnd();
  return [line(headings), ...rows.map(line)];
}

/** Breaks a paragraph into lines of at most `width` characters, the later ones indented. */
export function wrapped(text: string, width: number, indent = ''): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/ +/)) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = indent + word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return line === '' ? lines : [...lines, line];
}
