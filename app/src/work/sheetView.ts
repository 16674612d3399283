import type { Problem } from '@fairbed/field';
import type { Mapping, RowCount, Table } from '@fairbed/files';
import type { Trial } from '@fairbed/trial';
import type { Asking } from '../sheet/answers';

/** What the page shows of a sheet; the sheet itself stays in the worker. */
export type SheetView = {
  readonly file: string;
  readonly sheet?: string;
  readonly sheets?: readonly string[];
  readonly rows: number;
  readonly columns: readonly string[];
  readonly firstRows: readonly { readonly number: number; readonly cells: readonly string[] }[];
  /** Under this the answers for sheets with these headings are remembered. */
  readonly key: string;
  readonly guess: Mapping;
  /** Asked by the guess: what it could not tell of the columns. */
  readonly questions: readonly Problem[];
  /** Odd things about the file itself. */
  readonly problems: readonly Problem[];
};

/** What came of reading a sheet with some answers. */
export type Tried = {
  readonly rows: RowCount;
  readonly problems: readonly Problem[];
  readonly asking: Asking;
  /** Entries that break the leaf balance: used as written, and to be looked at. */
  readonly unbalanced: readonly Problem[];
  /** Whether there is anything to judge. */
  readonly scored: boolean;
  readonly plots: number;
  readonly rounds: number;
};

/** What a file turned out to be. */
export type Opened =
  | { readonly kind: 'sheet'; readonly view: SheetView }
  | { readonly kind: 'trial'; readonly trial: Trial; readonly problems: readonly Problem[] }
  /** A data package with a ledger: it joins the book it comes from. */
  | { readonly kind: 'ledger' }
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] };

const previewRows = 6;

/** The first data rows of a table as text, each with its number in the spreadsheet. */
export function firstRowsOf(table: Table): SheetView['firstRows'] {
  return Array.from({ length: Math.min(previewRows, table.rows) }, (_, row) => ({
    number: table.rowNumbers[row] ?? row + 1,
    cells: table.columns.map(({ codes, values }) => values[codes[row] ?? 0] ?? ''),
  }));
}
