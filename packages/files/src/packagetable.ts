import { csvText, type OutCell } from './csvout';

/** Types of the Frictionless table schema that our tables use. */
type FieldType = 'string' | 'number' | 'integer' | 'boolean' | 'date';

/** One column: its name and type, and where a row has it. */
export type Field<Row> = {
  readonly name: string;
  readonly type: FieldType;
  readonly about?: string;
  readonly of: (row: Row) => OutCell;
};

/** A table of a package: its columns with their types, its rows, its keys. */
export type PackageTable = {
  readonly name: string;
  readonly about: string;
  readonly fields: readonly {
    readonly name: string;
    readonly type: FieldType;
    readonly about?: string;
  }[];
  readonly rows: readonly (readonly OutCell[])[];
  readonly primaryKey?: readonly string[];
  readonly foreignKeys?: readonly { readonly field: string; readonly table: string }[];
};

/** A table of those rows with those columns. */
export function table<Row>(
  head: Omit<PackageTable, 'fields' | 'rows'>,
  rows: readonly Row[],
  fields: readonly Field<Row>[],
): PackageTable {
  return { ...head, fields, rows: rows.map((row) => fields.map((f) => f.of(row))) };
}

/** Name, type, how to get it: the usual field. */
export function field<Row>(
  name: string,
  type: FieldType,
  of: (row: Row) => OutCell,
  about?: string,
): Field<Row> {
  return { name, type, of, ...(about === undefined ? {} : { about }) };
}

/**
 * CSV text of a table; of the columns named in `only`, where given. Undefined where one of those is
 * none of the table's.
 */
export function tableText(t: PackageTable): string;
export function tableText(t: PackageTable, only: readonly string[]): string | undefined;
export function tableText(t: PackageTable, only?: readonly string[]): string | undefined {
  const names = t.fields.map((f) => f.name);
  if (only === undefined) return csvText(names, t.rows);
  const at = only.map((name) => names.indexOf(name));
  if (at.includes(-1)) return undefined;
  return csvText(
    only,
    t.rows.map((row) => at.map((i) => row[i])),
  );
}

/** Column `plot` leads to the table of plots, and so on. */
export const plotKey = { field: 'plot', table: 'plots' };
export const roundKey = { field: 'round', table: 'rounds' };
export const treatmentKey = { field: 'treatment', table: 'treatments' };
export const byId = { primaryKey: ['id'] };
