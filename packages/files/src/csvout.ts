/** A cell to be written: text, number, truth, or nothing. */
export type OutCell = string | number | boolean | undefined;

const risky = /^[=+\-@\t\r]/;

/**
 * One cell of CSV text (RFC 4180). A text that a spreadsheet would run as a formula (it begins with
 * = + - @, a tab or a carriage return) gets an apostrophe in front. Numbers are written in full, with
 * a decimal point.
 */
export function csvCell(cell: OutCell): string {
  if (cell === undefined) return '';
  if (typeof cell !== 'string') return String(cell);
  const safe = risky.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replace(/"/g, '""')}"` : safe;
}

/** CSV text with a row of headings, lines ended by CRLF as RFC 4180 has them. */
export function csvText(
  headings: readonly string[],
  rows: readonly (readonly OutCell[])[],
): string {
  return [headings, ...rows].map((row) => `${row.map(csvCell).join(',')}\r\n`).join('');
}
