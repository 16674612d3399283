import type { Mapping, Measure, Role, WideColumn, WideGroup } from '@fairbed/files';
import { without } from '../writable';

/** What a column may hold, in a grower's words, in the order they are offered. */
export const roleWords: Readonly<Record<Role, string>> = {
  treatment: 'Treatment',
  block: 'Block',
  plot: 'Plot',
  plant: 'Plant',
  part: 'Part of a plant (shoot, sample)',
  row: 'Row of the bed',
  column: 'Column of the bed',
  wholePlot: 'Whole plot',
  date: 'Date',
  round: 'Round',
  diseased: 'Leaves diseased',
  leaves: 'Leaves counted',
  severity: 'Leaf area diseased, %',
  grade: 'Grade',
  value: 'Another number',
  stripped: 'Leaves stripped',
  lost: 'Leaves lost otherwise',
  injury: 'Crop injury, %',
  vigour: 'Vigour, %',
  stage: 'Growth stage',
  baseline: 'Number before the trial',
  days: 'Days until it happened',
  happened: 'Did it happen? (1 or 0)',
  headingDate: 'Date of heading',
  note: 'Note',
  ignore: 'Leave out',
};

export const roles = Object.keys(roleWords) as readonly Role[];

/** What one column is taken for: a role of its own, or its place in a group of like columns. */
export type ColumnChoice = Role | 'wide';

const groupWith = (mapping: Mapping, column: string): WideGroup | undefined =>
  mapping.wide?.find((group) => group.columns.some((entry) => entry.column === column));

/** What a column is taken for now; a column that the mapping does not name is left out. */
export function choiceOf(mapping: Mapping, column: string): ColumnChoice {
  if (groupWith(mapping, column)) return 'wide';
  return mapping.columns.find((entry) => entry.column === column)?.role ?? 'ignore';
}

/** A wide column in words: `Grade, by date`. The heading beside it says which date. */
export function wideWords(measure: Measure, column: WideColumn): string {
  if (column.date !== undefined) return `${roleWords[measure]}, by date`;
  return `${roleWords[measure]}, by ${column.plant === undefined ? 'round' : 'plant'}`;
}

/** The words of a column's place in a group, as the sheet was first read; undefined without one. */
export function wideOffer(guess: Mapping, now: Mapping, column: string): string | undefined {
  const group = groupWith(now, column) ?? groupWith(guess, column);
  const entry = group?.columns.find((wide) => wide.column === column);
  return group && entry ? wideWords(group.measure, entry) : undefined;
}

const withoutColumn = (mapping: Mapping, column: string): Mapping => {
  const wide = (mapping.wide ?? [])
    .map((group) => ({
      ...group,
      columns: group.columns.filter((entry) => entry.column !== column),
    }))
    .filter((group) => group.columns.length > 0);
  const columns = mapping.columns.filter((entry) => entry.column !== column);
  return wide.length > 0 ? { ...mapping, columns, wide } : { ...without(mapping, 'wide'), columns };
};

function putBackInGroup(mapping: Mapping, guess: Mapping, column: string): Mapping {
  const was = groupWith(guess, column);
  const entry = was?.columns.find((wide) => wide.column === column);
  if (!was || !entry) return mapping;
  const order = was.columns.map((wide) => wide.column);
  const index = (mapping.wide ?? []).findIndex((group) =>
    group.columns.some((wide) => order.includes(wide.column)),
  );
  const inOrder = (columns: readonly WideColumn[]): WideColumn[] =>
    [...columns].sort((a, b) => order.indexOf(a.column) - order.indexOf(b.column));
  if (index < 0) {
    return {
      ...mapping,
      wide: [...(mapping.wide ?? []), { measure: was.measure, columns: [entry] }],
    };
  }
  const wide = (mapping.wide ?? []).map((group, i) =>
    i === index ? { ...group, columns: inOrder([...group.columns, entry]) } : group,
  );
  return { ...mapping, wide };
}

/** Roles that several columns may share; of the others the last one chosen keeps the role. */
const shared: readonly Role[] = ['plant', 'part', 'note', 'ignore'];

/**
 * The mapping with one column taken for something else. A role that only one column can have is
 * taken from the column that had it, which is then left out and shown so.
 */
export function choose(
  mapping: Mapping,
  guess: Mapping,
  column: string,
  choice: ColumnChoice,
): Mapping {
  const freed = withoutColumn(mapping, column);
  if (choice === 'wide') return putBackInGroup(freed, guess, column);
  const others = shared.includes(choice)
    ? freed.columns
    : freed.columns.map((entry) =>
        entry.role === choice ? { ...entry, role: 'ignore' as const } : entry,
      );
  return { ...freed, columns: [...others, { column, role: choice }] };
}

/** The mapping with a group of like columns taken for another measure. */
export const chooseMeasure = (mapping: Mapping, group: number, measure: Measure): Mapping => ({
  ...mapping,
  wide: (mapping.wide ?? []).map((entry, i) => (i === group ? { ...entry, measure } : entry)),
});
