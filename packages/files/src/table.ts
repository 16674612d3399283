import type { Problem } from '@fairbed/field';
import { type Grid, columnLetter } from './grid';
import { say } from './say';

/** One column under its heading. `codes`, `counts` and `first` speak of the data rows only. */
export type Column = {
  /** The heading as written, made unique ("leaves", "leaves (F)"); "column F" where there is none. */
  readonly name: string;
  readonly letter: string;
  /** Distinct cell texts of the sheet's column; entry 0 is the empty cell. */
  readonly values: readonly string[];
  /** What the spreadsheet says each of `values` is: see `cellKind`. */
  readonly kinds: Uint8Array;
  /** One a data row: which of `values` stands there. */
  readonly codes: Int32Array;
  /** How often each of `values` stands in the data rows. */
  readonly counts: Int32Array;
  /** The first data row (0-based) each of `values` stands in; -1 where it does not. */
  readonly first: Int32Array;
};

export type Table = {
  readonly file: string;
  readonly sheet?: string;
  /** Sheets that hold data, where there is more than one. */
  readonly sheets?: readonly string[];
  /** Row of the headings as the spreadsheet shows it. */
  readonly headingRow: number;
  readonly columns: readonly Column[];
  readonly rows: number;
  /** For each data row, its number as the spreadsheet shows it. */
  readonly rowNumbers: Int32Array;
  /** Empty rows below the headings; they are in neither `rows` nor `rowNumbers`. */
  readonly emptyRows: number;
};

const looked = 40;
const numeric = /^[-+]?[\d\s.,]+%?$/;

const filledIn = (grid: Grid, row: number): number[] => {
  const filled: number[] = [];
  grid.columns.forEach((column, c) => {
    if (column.values[column.codes[row] ?? 0] !== '') filled.push(c);
  });
  return filled;
};

const cell = (grid: Grid, row: number, column: number): string => {
  const c = grid.columns[column];
  return c?.values[c.codes[row] ?? 0] ?? '';
};

/**
 * The row of the headings (0-based): the first whose filled cells are at least two and at least
 * three fifths of what the rows below usually fill. Rows above it are titles.
 */
function findHeadings(grid: Grid): number | undefined {
  const widths: number[] = [];
  for (let row = 0; row < Math.min(grid.rows, looked); row++) {
    widths.push(filledIn(grid, row).length);
  }
  const filled = widths.filter((w) => w > 0).sort((a, b) => a - b);
  if (filled.length === 0) return undefined;
  const usual = filled[Math.floor(filled.length / 2)] ?? 0;
  const needed = Math.max(Math.min(2, usual), Math.ceil(usual * 0.6));
  const row = widths.findIndex((w) => w >= needed);
  if (row < 0) return undefined;
  return secondHeadingRow(grid, row, widths[row + 1] ?? 0) ? row + 1 : row;
}

/**
 * Two rows of headings: a group over several columns ("week 1" over "diseased" and "leaves"), the
 * names below it repeating. Taken as such only where both rows are words.
 */
function secondHeadingRow(grid: Grid, row: number, widthBelow: number): boolean {
  const here = filledIn(grid, row);
  if (widthBelow <= here.length) return false;
  const below = filledIn(grid, row + 1).map((c) => cell(grid, row + 1, c));
  if (below.some((text) => numeric.test(text))) return false;
  return new Set(below).size < below.length;
}

/** Names of the columns: the heading, with the group above it carried rightwards where repeated. */
function names(grid: Grid, row: number): string[] {
  const plain = grid.columns.map((_, c) => cell(grid, row, c));
  const above = row > 0 ? grid.columns.map((_, c) => cell(grid, row - 1, c)) : [];
  const grouped = above.filter((text) => text !== '').length >= 2;
  let group = '';
  return plain.map((name, c) => {
    group = above[c] !== undefined && above[c] !== '' ? above[c] : group;
    const repeated = name !== '' && plain.indexOf(name) !== plain.lastIndexOf(name);
    return grouped && repeated && group !== '' && group !== name ? `${group} ${name}` : name;
  });
}

const decoded = (grid: Grid, c: number, codes: Int32Array, name: string): Column => {
  const column = grid.columns[c] as Grid['columns'][number];
  const counts = new Int32Array(column.values.length);
  const first = new Int32Array(column.values.length).fill(-1);
  for (let row = 0; row < codes.length; row++) {
    const code = codes[row] as number;
    if (counts[code] === 0) first[code] = row;
    counts[code] = (counts[code] as number) + 1;
  }
  return {
    name,
    letter: columnLetter(c),
    values: column.values,
    kinds: column.kinds,
    codes,
    counts,
    first,
  };
};

/** Data rows (0-based rows of the grid): those below the headings with anything in them. */
function dataRows(grid: Grid, headings: number): Int32Array {
  const filled = new Uint8Array(grid.rows);
  let wanting = grid.rows - headings - 1;
  for (const { codes, values } of grid.columns) {
    if (wanting === 0) break;
    const full = Uint8Array.from(values, (v) => (v === '' ? 0 : 1));
    for (let row = headings + 1; row < grid.rows; row++) {
      if (filled[row] === 0 && full[codes[row] as number] === 1) {
        filled[row] = 1;
        wanting--;
      }
    }
  }
  let count = 0;
  for (const f of filled) count += f;
  const rows = new Int32Array(count);
  for (let row = headings + 1, k = 0; row < grid.rows; row++)
    if (filled[row] === 1) rows[k++] = row;
  return rows;
}

const pick = (codes: Int32Array, rows: Int32Array, from: number): Int32Array => {
  // Without empty rows the data are one stretch: no copy.
  if (rows.length === codes.length - from) return codes.subarray(from);
  return rows.map((row) => codes[row] as number);
};

function uniqueNames(written: readonly string[], kept: readonly number[]): Map<number, string> {
  const given = new Map<number, string>();
  const taken = new Set<string>();
  for (const c of kept) {
    const letter = columnLetter(c);
    let name = (written[c] ?? '').slice(0, 150);
    if (name === '') name = `column ${letter}`;
    while (taken.has(name)) name = `${name} (${letter})`;
    taken.add(name);
    given.set(c, name);
  }
  return given;
}

/** Finds the headings of a sheet and puts its columns under them, with what is odd about them. */
export function tableFromGrid(
  grid: Grid,
  file: string,
): { readonly table?: Table; readonly problems: Problem[] } {
  const headings = findHeadings(grid);
  if (headings === undefined) return { problems: [say('no-table', { file })] };
  const shown = (row: number): number => grid.rowNumbers[row] ?? row + 1;
  const written = names(grid, headings);
  const rows = dataRows(grid, headings);
  if (rows.length === 0) return { problems: [say('no-rows', { file, row: shown(headings) })] };
  const codesOf = grid.columns.map((c) => pick(c.codes, rows, headings + 1));
  const kept = grid.columns
    .map((_, c) => c)
    .filter(
      (c) => written[c] !== '' || (codesOf[c] ?? []).some((k) => grid.columns[c]?.values[k] !== ''),
    );
  const headed = kept.filter((c) => written[c] !== '');
  if (headed.length > 0 && headed.every((c) => numeric.test(written[c] ?? ''))) {
    return { problems: [say('no-headings', { file, row: shown(headings) })] };
  }
  const called = uniqueNames(written, kept);
  const columns = kept.map((c) => decoded(grid, c, codesOf[c] as Int32Array, called.get(c) ?? ''));
  const last = rows[rows.length - 1] ?? headings;
  const table: Table = {
    file,
    headingRow: shown(headings),
    columns,
    rows: rows.length,
    rowNumbers: rows.map((row) => shown(row)),
    emptyRows: shown(last) - shown(headings) - rows.length,
  };
  return { table, problems: oddities(grid, { table, headings, written, kept }) };
}

function oddities(
  grid: Grid,
  of: { table: Table; headings: number; written: readonly string[]; kept: readonly number[] },
): Problem[] {
  const { table, headings, written, kept } = of;
  const { file, headingRow } = table;
  const found: Problem[] = [];
  const titles = Array.from({ length: headings }, (_, row) => row).filter(
    (row) => filledIn(grid, row).length > 0,
  );
  if (titles.length > 0) found.push(say('title-rows', { file, row: headingRow }, titles.length));
  if (table.emptyRows > 0) found.push(say('empty-rows', { file }, table.emptyRows));
  const seen = new Set<string>();
  kept.forEach((c, k) => {
    const name = written[c] ?? '';
    const column = table.columns[k]?.name ?? '';
    if (name === '') found.push(say('heading-missing', { file, row: headingRow, column }));
    else if (seen.has(name)) {
      found.push(say('heading-twice', { file, row: headingRow, column }, name, column));
    }
    seen.add(name);
    const formulas = grid.columns[c]?.formulas ?? 0;
    if (formulas > 0) found.push(say('formulas', { file, column }, column, formulas));
  });
  return found;
}
