import { limits } from './limits';
import { fromUtf8 } from './text';

/** What the spreadsheet says a cell is. Text files only ever say `text`. */
export const cellKind = { text: 0, number: 1, date: 2, error: 3, unsaved: 4 } as const;
export type CellKind = (typeof cellKind)[keyof typeof cellKind];

/**
 * One column of a sheet, coded: `codes[row]` points into `values`, the distinct cell texts. Scores
 * repeat themselves, so whatever is asked of a cell (is it a number, which date, which treatment)
 * is worked out once for each distinct text and not once a row.
 */
export type GridColumn = {
  /** Distinct texts, trimmed; entry 0 is the empty cell. */
  readonly values: readonly string[];
  /** What each of `values` is, as a {@link cellKind}. */
  readonly kinds: Uint8Array;
  /** One a row of the sheet. */
  readonly codes: Int32Array;
  /** Rows whose cell holds a formula (its saved value was read). */
  readonly formulas: number;
};

export type Grid = {
  readonly rows: number;
  readonly columns: readonly GridColumn[];
  /** For each row, its number as the spreadsheet shows it. */
  readonly rowNumbers: Int32Array;
};

/** A coded column growing from slices of the file; see {@link setCell}. */
export type BytesColumn = {
  codes: Int32Array<ArrayBuffer>;
  /** Code by hash, open addressing; 0 is a free slot. */
  slots: Int32Array;
  starts: Int32Array<ArrayBuffer>;
  ends: Int32Array<ArrayBuffer>;
  hashes: Int32Array<ArrayBuffer>;
  size: number;
  /** The code set last: neighbours are often alike. */
  last: number;
};

/** Grows a coded column from texts. Cells never set are empty. */
export type TextColumn = {
  readonly set: (row: number, text: string, kind: CellKind) => void;
  readonly countFormula: () => void;
  /** Copies the cell of one row to another (merged cells). */
  readonly copy: (from: number, to: number) => void;
  readonly finish: (rows: number) => GridColumn;
};

/** An empty column with room for so many rows (it grows). State and functions rather than closures: it is the innermost loop. */
export const bytesColumn = (rows: number): BytesColumn => ({
  codes: new Int32Array(rows),
  slots: new Int32Array(128),
  starts: new Int32Array(64),
  ends: new Int32Array(64),
  hashes: new Int32Array(64),
  size: 1,
  last: 0,
});

/**
 * Sets the cell of a row to `bytes` from `start` to `end`. The text is found again by its content,
 * so that no string is made for a cell. Cells never set are empty.
 */
export function setCell(
  column: BytesColumn,
  bytes: Uint8Array,
  row: number,
  start: number,
  end: number,
): void {
  if (row >= column.codes.length) column.codes = larger(column.codes, row);
  if (end <= start) return;
  const { last } = column;
  const same = sameBytes(
    bytes,
    start,
    end,
    column.starts[last] as number,
    column.ends[last] as number,
  );
  if (!same) column.last = codeOf(column, bytes, start, end);
  column.codes[row] = column.last;
}

/** Cells of at most this many bytes are their own hash: no byte need be looked at again. */
const packed = 4;

const spread = (hash: number): number => Math.imul(hash, 0x9e3779b1) >>> 12;

function codeOf(column: BytesColumn, bytes: Uint8Array, start: number, end: number): number {
  const length = end - start;
  let hash = 0;
  if (length <= packed) for (let i = start; i < end; i++) hash = (hash << 8) | (bytes[i] as number);
  else for (let i = start; i < end; i++) hash = (Math.imul(hash, 31) + (bytes[i] as number)) | 0;
  const { slots, hashes, starts, ends } = column;
  const mask = slots.length - 1;
  let slot = spread(hash) & mask;
  for (; ; slot = (slot + 1) & mask) {
    const code = slots[slot] as number;
    if (code === 0) break;
    if (hashes[code] !== hash) continue;
    const from = starts[code] as number;
    const to = ends[code] as number;
    if (to - from === length && (length <= packed || sameBytes(bytes, start, end, from, to))) {
      return code;
    }
  }
  const added = column.size++;
  slots[slot] = added;
  starts[added] = start;
  ends[added] = end;
  hashes[added] = hash;
  if (column.size === hashes.length) grow(column);
  return added;
}

function grow(column: BytesColumn): void {
  column.starts = larger(column.starts, column.size);
  column.ends = larger(column.ends, column.size);
  column.hashes = larger(column.hashes, column.size);
  column.slots = new Int32Array(column.slots.length * 2);
  const mask = column.slots.length - 1;
  for (let code = 1; code < column.size; code++) {
    const hash = column.hashes[code] as number;
    let slot = spread(hash) & mask;
    while (column.slots[slot] !== 0) slot = (slot + 1) & mask;
    column.slots[slot] = code;
  }
}

/** The column as it stands, its texts decoded and trimmed. */
export function finishBytes(column: BytesColumn, bytes: Uint8Array, rows: number): GridColumn {
  const { size, starts, ends } = column;
  return {
    values: Array.from({ length: size }, (_, code) =>
      fromUtf8(bytes, starts[code], ends[code]).trim(),
    ),
    kinds: new Uint8Array(size),
    codes: toLength(column.codes, rows),
    formulas: 0,
  };
}

/** From the end: neighbours such as two dates differ there first. */
function sameBytes(bytes: Uint8Array, a: number, aEnd: number, b: number, bEnd: number): boolean {
  if (aEnd - a !== bEnd - b) return false;
  for (let i = aEnd - 1, k = bEnd - 1; i >= a; i--, k--) if (bytes[i] !== bytes[k]) return false;
  return true;
}

const larger = (codes: Int32Array, row: number): Int32Array<ArrayBuffer> => {
  const grown = new Int32Array(Math.max(codes.length * 2, row + 1));
  grown.set(codes);
  return grown;
};

const toLength = (codes: Int32Array, rows: number): Int32Array => {
  if (codes.length >= rows) return codes.subarray(0, rows);
  const full = new Int32Array(rows);
  full.set(codes);
  return full;
};

/** The same for cells that arrive as texts (from a workbook). */
export function textColumn(): TextColumn {
  let codes = new Int32Array(64);
  const values: string[] = [''];
  const kinds: number[] = [cellKind.text];
  const known = new Map<string, number>();
  let formulas = 0;
  return {
    set(row, text, kind) {
      if (row >= codes.length) codes = larger(codes, row);
      const trimmed = text.slice(0, limits.cellLength).trim();
      if (trimmed === '' && kind === cellKind.text) {
        codes[row] = 0;
        return;
      }
      const key = `${kind}${trimmed}`;
      let code = known.get(key);
      if (code === undefined) {
        code = values.push(trimmed) - 1;
        kinds.push(kind);
        known.set(key, code);
      }
      codes[row] = code;
    },
    countFormula() {
      formulas++;
    },
    copy(from, to) {
      if (to >= codes.length) codes = larger(codes, to);
      codes[to] = codes[from] ?? 0;
    },
    finish: (rows) => ({
      values,
      kinds: Uint8Array.from(kinds),
      codes: toLength(codes, rows),
      formulas,
    }),
  };
}

/** The letters a spreadsheet puts over a column: 0 is A, 26 is AA. */
export function columnLetter(index: number): string {
  let letters = '';
  for (let n = index + 1; n > 0; n = Math.floor((n - 1) / 26)) {
    letters = String.fromCharCode(65 + ((n - 1) % 26)) + letters;
  }
  return letters;
}
