import type { DateOrder } from './dates';
import type { DecimalMark } from './numbers';
import type { Table } from './table';

/** What a column holds. */
export type Role =
  | 'treatment'
  | 'block'
  | 'row'
  | 'column'
  | 'wholePlot'
  | 'plot'
  | 'plant'
  | 'part'
  | 'date'
  | 'round'
  | Measure
  | 'baseline'
  | 'days'
  | 'happened'
  | 'headingDate'
  | 'note'
  | 'ignore';

/** Columns with one number for each scoring. */
export const measures = [
  'diseased',
  'leaves',
  'severity',
  'grade',
  'value',
  'stripped',
  'lost',
  'injury',
  'vigour',
  'stage',
] as const;

/** A column with one number for each scoring. */
export type Measure = (typeof measures)[number];

/** A column of a wide sheet: the measure of one round, or of one plant. */
export type WideColumn = {
  readonly column: string;
  /** ISO day of the round. */
  readonly date?: string;
  /** Name of the round, such as "week 3". */
  readonly round?: string;
  readonly plant?: string;
};

export type WideGroup = { readonly measure: Measure; readonly columns: readonly WideColumn[] };

/**
 * How the columns of a sheet are read: plain data, to be shown, changed, kept as JSON and used again
 * for sheets of the same headings. Columns are named as `Column.name` of the table. A column not
 * named here is ignored. Two columns may be `plant` (row and number): their cells are joined. `part` names what
 * was scored apart on one plant or plot (shoot, sample).
 */
export type Mapping = {
  readonly version: 1;
  readonly columns: readonly { readonly column: string; readonly role: Role }[];
  readonly wide?: readonly WideGroup[];
  /** Order of day and month, where the dates leave it open. */
  readonly dateOrder?: DateOrder;
  /** Year of dates written without one. */
  readonly year?: number;
  readonly decimal?: DecimalMark;
  /** `fraction`: the severity column runs from 0 to 1. */
  readonly severityScale?: 'percent' | 'fraction';
  /** ISO day of day 0, where the date column counts days. */
  readonly firstDay?: string;
};

/** A mapping from what a command line's flags give: a role and the column that has it. */
export function mappingFromRoles(
  roles: readonly { readonly column: string; readonly role: Role }[],
  answers: Omit<Mapping, 'version' | 'columns'> = {},
): Mapping {
  return { version: 1, columns: roles.map(({ column, role }) => ({ column, role })), ...answers };
}

/**
 * A key for a sheet's headings, the same for every sheet with the same headings in the same order
 * whatever their case and spacing: a 64-bit FNV-1a hash as hexadecimal text. Under it a program
 * keeps the mapping.
 */
export function mappingKey(table: Table): string {
  const text = table.columns
    .map((c) => c.name.toLowerCase().replace(/\s+/g, ' ').trim())
    .join('\u001f');
  let hash = 0xcbf29ce484222325n;
  for (let i = 0; i < text.length; i++) {
    hash = BigInt.asUintN(64, (hash ^ BigInt(text.charCodeAt(i))) * 0x100000001b3n);
  }
  return hash.toString(16).padStart(16, '0');
}
