import type { Trial } from '@fairbed/trial';
import type { Mapping, Role } from './mapping';
import type { RowBook } from './rowbook';
import { say } from './say';
import type { TreatmentNames } from './spelling';
import type { Column, Table } from './table';

/** What a grower, or a command line's flags, say beside the mapping. */
export type TrialOptions = {
  readonly id?: string | undefined;
  readonly title?: string | undefined;
  /** Name of the treatment that others are compared with. */
  readonly control?: string | undefined;
  /** All classes of the grade scale, in order. */
  readonly gradeClasses?: readonly number[] | undefined;
  /** The class that means no disease: the first or the last. */
  readonly healthyGrade?: number | undefined;
  /** Whether a larger `value` is better or worse. */
  readonly better?: 'lower' | 'higher' | undefined;
  readonly valueUnit?: string | undefined;
  readonly event?: Trial['times'][number]['event'] | undefined;
  /** Answers to "spelt two ways": what each written name means (itself, if it is its own). */
  readonly treatmentNames?: TreatmentNames | undefined;
};

/** The columns of a table by role, found by name (capitals aside). */
export type Found = {
  readonly one: (role: Role) => Column | undefined;
  readonly all: (role: Role) => readonly Column[];
  readonly named: (name: string) => Column | undefined;
};

/** Finds the mapping's columns in the table; a column that is not there is a problem. */
export function findColumns(table: Table, mapping: Mapping, book: RowBook): Found {
  const exact = new Map(table.columns.map((c) => [c.name, c]));
  const loose = new Map(table.columns.map((c) => [c.name.toLowerCase(), c]));
  const named = (name: string): Column | undefined =>
    exact.get(name) ?? loose.get(name.trim().toLowerCase());
  const byRole = new Map<Role, Column[]>();
  const headings = table.columns.map((c) => c.name);
  for (const { column, role } of mapping.columns) {
    if (role === 'ignore') continue;
    const found = named(column);
    if (found) byRole.set(role, [...(byRole.get(role) ?? []), found]);
    else
      book.add(
        say('no-such-column', { file: table.file, row: table.headingRow }, column, headings),
      );
  }
  for (const { column } of mapping.wide?.flatMap((g) => g.columns) ?? []) {
    if (!named(column))
      book.add(
        say('no-such-column', { file: table.file, row: table.headingRow }, column, headings),
      );
  }
  const all = (role: Role): readonly Column[] => byRole.get(role) ?? [];
  return { one: (role) => all(role)[0], all, named };
}
