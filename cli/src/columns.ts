import { guessMapping, type Mapping, type Measure, type Role, type Table } from '@fairbed/files';
import type { MappingOf } from './input';

/** The column flags of `judge` and `check`; each names a heading of the sheet. */
export type ColumnFlags = {
  readonly treatment?: string;
  readonly block?: string;
  readonly row?: string;
  readonly column?: string;
  readonly wholePlot?: string;
  readonly plot?: string;
  readonly plant?: string;
  readonly date?: string;
  readonly diseased?: string;
  readonly leaves?: string;
  readonly severity?: string;
  readonly grade?: string;
  readonly value?: string;
  readonly baselineValue?: string;
  readonly stripped?: string;
  readonly lost?: string;
  readonly days?: string;
  readonly happened?: string;
  readonly headingDate?: string;
  readonly dateOrder?: 'dmy' | 'mdy';
  readonly decimal?: 'comma' | 'point';
};

const roleOf = {
  treatment: 'treatment',
  block: 'block',
  row: 'row',
  column: 'column',
  wholePlot: 'wholePlot',
  plot: 'plot',
  plant: 'plant',
  date: 'date',
  diseased: 'diseased',
  leaves: 'leaves',
  severity: 'severity',
  grade: 'grade',
  value: 'value',
  baselineValue: 'baseline',
  stripped: 'stripped',
  lost: 'lost',
  days: 'days',
  happened: 'happened',
  headingDate: 'headingDate',
} as const satisfies Readonly<Partial<Record<keyof ColumnFlags, Role>>>;

type Flag = keyof typeof roleOf;
const flags = Object.keys(roleOf) as readonly Flag[];

const measured: readonly Flag[] = [
  'diseased',
  'leaves',
  'severity',
  'grade',
  'value',
  'stripped',
  'lost',
];

/** Were any columns named at all? Without, the headings are guessed. */
export const namesColumns = (given: ColumnFlags): boolean =>
  flags.some((flag) => given[flag] !== undefined);

/** Several headings in one flag, `week 1,week 2`: a wide sheet, unless one heading has that very name. */
function severalColumns(table: Table, written: string): string[] | undefined {
  const has = (name: string): boolean => table.columns.some((column) => column.name === name);
  if (has(written) || !written.includes(',')) return undefined;
  const parts = written.split(',').map((part) => part.trim());
  return parts.every(has) ? parts : undefined;
}

/** The mapping that the flags spell out; rounds of wide columns are dated by their headings. */
function spelledOut(table: Table, given: ColumnFlags): Mapping {
  const columns: { column: string; role: Role }[] = [];
  const wide: { measure: Measure; columns: { column: string; date?: string; round?: string }[] }[] =
    [];
  const dated = new Map(
    (guessMapping(table).mapping.wide ?? []).flatMap((group) =>
      group.columns.map((column) => [column.column, column] as const),
    ),
  );
  for (const flag of flags) {
    const written = given[flag];
    if (written === undefined) continue;
    const several =
      measured.includes(flag) || flag === 'plant' ? severalColumns(table, written) : undefined;
    if (several === undefined) columns.push({ column: written, role: roleOf[flag] });
    else if (flag === 'plant') {
      for (const column of several) columns.push({ column, role: 'plant' });
    } else {
      wide.push({
        measure: roleOf[flag] as Measure,
        columns: several.map((column) => dated.get(column) ?? { column, round: column }),
      });
    }
  }
  return {
    version: 1,
    columns,
    ...(wide.length > 0 ? { wide } : {}),
    ...answersOf(given),
  };
}

const answersOf = ({
  dateOrder,
  decimal,
}: ColumnFlags): Pick<Mapping, 'dateOrder' | 'decimal'> => ({
  ...(dateOrder === undefined ? {} : { dateOrder }),
  ...(decimal === undefined ? {} : { decimal }),
});

/** How to read a sheet's columns: as the flags say, or by a guess where they name none. */
export const mappingOf = (given: ColumnFlags): MappingOf =>
  namesColumns(given)
    ? (table) => ({ mapping: spelledOut(table, given), questions: [] })
    : (table) => {
        const guess = guessMapping(table);
        return { ...guess, mapping: { ...guess.mapping, ...answersOf(given) } };
      };
