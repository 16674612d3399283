/**
 * Widths of text without a page to measure it on. The table holds the wider of Atkinson
 * Hyperlegible Next (5.3.0) and Liberation Sans (metric twin of Arial), regular, in hundredths of
 * the type size, for U+0020 to U+007E; measured with Chromium's canvas.
 */
const widths = [
  28, 29, 36, 66, 60, 92, 74, 20, 34, 34, 49, 61, 28, 37, 28, 39, 65, 56, 56, 58, 62, 59, 60, 56,
  62, 60, 28, 28, 59, 63, 59, 56, 102, 67, 67, 73, 73, 67, 62, 78, 73, 40, 52, 67, 56, 84, 73, 78,
  67, 78, 73, 67, 62, 73, 67, 95, 67, 67, 62, 32, 39, 35, 56, 56, 34, 56, 57, 50, 57, 56, 32, 56,
  56, 26, 25, 50, 27, 85, 56, 56, 57, 58, 35, 50, 33, 56, 50, 73, 50, 50, 50, 35, 26, 35, 59,
];
const otherWidth = 62;
const spaceCode = 32;

/** Fallback fonts and rounding: a little more room than measured. */
const slack = 1.04;
const boldness = 1.07;

/** Width of a text in pixels at a type size, never less than what is drawn in the house font. */
export function textWidth(text: string, size: number, bold = false): number {
  let hundredths = 0;
  for (const character of text.replaceAll('\u00a0', ' ')) {
    hundredths += widths[(character.codePointAt(0) ?? 0) - spaceCode] ?? otherWidth;
  }
  return (hundredths / 100) * size * slack * (bold ? boldness : 1);
}

/** The longest start of a word that fits, with the rest: a word longer than a line is broken. */
function breakWord(word: string, width: number, size: number): [string, string] {
  const letters = Array.from(word);
  let end = 1;
  while (end < letters.length && textWidth(letters.slice(0, end + 1).join(''), size) <= width)
    end++;
  return [letters.slice(0, end).join(''), letters.slice(end).join('')];
}

/**
 * Breaks a text at its ordinary spaces into lines no wider than `width`; nothing is cut off. A
 * number stays with its unit (`0.5 %`, `2 g`).
 */
export function wrapText(text: string, width: number, size: number): string[] {
  const lines: string[] = [];
  let line = '';
  const joined = text.replace(/(\d) (?=(?:%|[a-zA-Z]{1,2})(?: |$))/g, '$1\u00a0');
  for (let word of joined.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer, size) <= width) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    while (textWidth(word, size) > width && word.length > 1) {
      const [start, rest] = breakWord(word, width, size);
      lines.push(start);
      word = rest;
    }
    line = word;
  }
  if (line !== '') lines.push(line);
  return lines;
}

/**
 * Moves labels apart: each has a wanted centre and a size along one axis. Returns centres in the
 * order given, at least half the two sizes apart, between `low` and `high` where they fit at all
 * (they then start at `low`). The order of wanted centres is kept.
 */
export function spread(
  wanted: readonly { readonly at: number; readonly size: number }[],
  low: number,
  high: number,
): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => at(wanted, a) - at(wanted, b) || a - b);
  const centres = new Array<number>(wanted.length).fill(0);
  let edge = low;
  for (const i of order) {
    const half = (wanted[i]?.size ?? 0) / 2;
    const centre = Math.max(at(wanted, i), edge + half);
    centres[i] = centre;
    edge = centre + half;
  }
  edge = high;
  for (const i of order.reverse()) {
    const half = (wanted[i]?.size ?? 0) / 2;
    const centre = Math.min(centres[i] ?? 0, edge - half);
    centres[i] = centre;
    edge = centre - half;
  }
  const overflow = low - edge;
  return overflow > 0 ? centres.map((centre) => centre + overflow) : centres;
}

const at = (wanted: readonly { readonly at: number }[], i: number): number => wanted[i]?.at ?? 0;
