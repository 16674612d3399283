import { bytesColumn, type BytesColumn, finishBytes, type Grid, setCell } from './grid';
import { limits } from './limits';

const newline = 10;
const carriage = 13;
const quote = 34;
const space = 32;

/** Why a text could not be cut into rows; `row` as the spreadsheet shows it. */
export type CsvRefusal =
  | { readonly refused: 'too-many-columns'; readonly row: number }
  | { readonly refused: 'too-many-rows' }
  | { readonly refused: 'too-many-cells' }
  | { readonly refused: 'quote-not-closed'; readonly row: number };

/**
 * Cuts delimited text (RFC 4180, with any one-byte delimiter and CR, LF or CRLF line ends) into
 * coded columns, straight from the UTF-8 bytes. `bytes` is changed: doubled quotes are closed up in
 * place. Spaces round a cell are dropped. Rows shorter than others end in empty cells. A quotation
 * mark in the middle of an unquoted cell stands for itself.
 */
export function readDelimited(bytes: Uint8Array, delimiter: number, from = 0): Grid | CsvRefusal {
  const builders: BytesColumn[] = [];
  const expected = expectedRows(bytes, from);
  const ends = new Uint8Array(256);
  for (const b of [delimiter, newline, carriage]) ends[b] = 1;
  let row = 0;
  let column = 0;
  let at = from;
  const end = bytes.length;
  let openedAtRow = 0;
  while (at < end) {
    if (row >= limits.rows) return { refused: 'too-many-rows' };
    if (column >= limits.columns) return { refused: 'too-many-columns', row: row + 1 };
    let builder = builders[column];
    if (builder === undefined) {
      builder = bytesColumn(expected);
      builders.push(builder);
    }
    let start = at;
    while (start < end && bytes[start] === space && delimiter !== space) start++;
    if (bytes[start] === quote) {
      openedAtRow = row + 1;
      const cell = quotedCell(bytes, start + 1, delimiter);
      if (cell === undefined) return { refused: 'quote-not-closed', row: openedAtRow };
      trimmedCell(builder, bytes, row, start + 1, cell.end);
      at = cell.next;
    } else {
      at = start;
      while (at < end && ends[bytes[at] as number] === 0) at++;
      let last = at;
      while (last > start && bytes[last - 1] === space) last--;
      setCell(builder, bytes, row, start, last);
    }
    if (bytes[at] === delimiter && at < end) {
      at++;
      column++;
      // A delimiter at the very end of the file still opens one last, empty cell: nothing to keep.
      continue;
    }
    if (bytes[at] === carriage) at++;
    if (bytes[at] === newline) at++;
    row++;
    column = 0;
  }
  const rows = row + (column > 0 ? 1 : 0);
  if (rows * builders.length > limits.cells) return { refused: 'too-many-cells' };
  return {
    rows,
    columns: builders.map((b) => finishBytes(b, bytes, rows)),
    rowNumbers: new Int32Array(rows).map((_, i) => i + 1),
  };
}

/**
 * Reads a quoted cell from its first byte inside the quotes, closing up doubled quotes in place.
 * Returns where its content ends and where the delimiter or line end stands; undefined when the
 * closing quote is missing.
 */
function quotedCell(
  bytes: Uint8Array,
  from: number,
  delimiter: number,
): { end: number; next: number } | undefined {
  let write = from;
  for (let read = from; read < bytes.length; read++) {
    const b = bytes[read] as number;
    if (b === quote) {
      if (bytes[read + 1] === quote) read++;
      else {
        let next = read + 1;
        while (bytes[next] === space && delimiter !== space) next++;
        const after = bytes[next];
        if (after === undefined || after === delimiter || after === newline || after === carriage) {
          return { end: write, next };
        }
      }
    }
    bytes[write++] = b;
  }
  return undefined;
}

/** Rows a text of this length may have, by the length of its first lines; columns grow beyond it. */
function expectedRows(bytes: Uint8Array, from: number): number {
  const sample = Math.min(bytes.length, from + 65_536);
  let lines = 1;
  for (let i = from; i < sample; i++) if (bytes[i] === newline) lines++;
  const perLine = Math.max(8, (sample - from) / lines);
  return Math.min(200_000, Math.ceil((1.1 * bytes.length) / perLine) + 16);
}

function trimmedCell(
  builder: BytesColumn,
  bytes: Uint8Array,
  row: number,
  from: number,
  to: number,
): void {
  let start = from;
  let end = to;
  while (start < end && bytes[start] === space) start++;
  while (end > start && bytes[end - 1] === space) end--;
  setCell(builder, bytes, row, start, end);
}

const candidates = [9, 59, 44, 124]; // tab, semicolon, comma, bar

/**
 * Guesses the delimiter from the first lines: the one whose count (outside quotes) is the same on
 * most lines. Tab and semicolon win over comma where they do about as well, because a decimal comma
 * stands on many lines too. `fallback` where no candidate stands on the typical line.
 */
export function guessDelimiter(bytes: Uint8Array, fallback: number): number {
  const lines = countCandidates(bytes, 60);
  let best = fallback;
  let bestScore = 0;
  candidates.forEach((candidate, c) => {
    const tally = new Map<number, number>();
    for (const line of lines) tally.set(line[c] ?? 0, (tally.get(line[c] ?? 0) ?? 0) + 1);
    let mode = 0;
    let share = 0;
    for (const [count, times] of tally) {
      if (count > 0 && (times > share || (times === share && count > mode))) {
        mode = count;
        share = times;
      }
    }
    const score = share / Math.max(1, lines.length);
    if (score > bestScore * 1.2) {
      best = candidate;
      bestScore = score;
    }
  });
  return best;
}

function countCandidates(bytes: Uint8Array, most: number): number[][] {
  const lines: number[][] = [];
  let counts = candidates.map(() => 0);
  let inQuotes = false;
  let filled = false;
  const end = Math.min(bytes.length, 1 << 20);
  for (let i = 0; i < end && lines.length < most; i++) {
    const b = bytes[i] as number;
    if (b === quote) inQuotes = !inQuotes;
    else if (inQuotes) continue;
    else if (b === newline || b === carriage) {
      if (filled) lines.push(counts);
      counts = candidates.map(() => 0);
      filled = false;
    } else {
      filled = true;
      const c = candidates.indexOf(b);
      if (c >= 0) counts[c] = (counts[c] ?? 0) + 1;
    }
  }
  if (filled && lines.length < most) lines.push(counts);
  return lines;
}
