import { type Day, readDay } from '@fairbed/field';
import type { Trial } from '@fairbed/trial';
import { settleScale } from './gradescale';
import { type Mapping, measures, type WideColumn } from './mapping';
import { type Measured, readMeasured } from './measured';
import { roundOrder, roundsFrom, type Rounds } from './rounds';
import type { RowBook } from './rowbook';
import type { Slot, Units } from './scores';
import { say } from './say';
import type { Found, TrialOptions } from './found';
import { readWideHeading } from './wide';

const dayOf = (wide: WideColumn, mapping: Mapping): Day | undefined => {
  if (wide.date !== undefined) return readDay(wide.date);
  if (mapping.dateOrder === undefined) return undefined;
  return readWideHeading(wide.column)?.either?.[mapping.dateOrder];
};

const labelOf = (wide: WideColumn, mapping: Mapping): string | undefined =>
  dayOf(wide, mapping) ?? wide.round;

/** The rounds that a wide sheet's columns name, in order; undefined where they name none. */
export function wideRounds(
  mapping: Mapping,
): (Rounds & { readonly indexOf: ReadonlyMap<string, number> }) | undefined {
  const drafts = new Map<string, { day?: Day; name?: string }>();
  for (const column of mapping.wide?.flatMap((g) => g.columns) ?? []) {
    const label = labelOf(column, mapping);
    if (label === undefined || drafts.has(label)) continue;
    const day = dayOf(column, mapping);
    drafts.set(label, day === undefined ? { name: label } : { day });
  }
  if (drafts.size === 0) return undefined;
  const labels = [...drafts.keys()];
  const list = [...drafts.values()];
  const order = roundOrder(list);
  return {
    list: roundsFrom(order.map((i) => list[i] ?? {})),
    of: new Int32Array(0),
    indexOf: new Map(order.map((old, now) => [labels[old] ?? '', now])),
  };
}

/**
 * Sorts the measure columns into slots. Columns with one figure a row in a sheet that is wide
 * otherwise (a yield beside weekly grades) are kept with the last round.
 */
export function makeSlots(of: {
  readonly mapping: Mapping;
  readonly found: Found;
  readonly units: Units;
  readonly options: TrialOptions;
  readonly book: RowBook;
}): { readonly slots: Slot[]; readonly gradeScale: Trial['gradeScale'] } {
  const slots = slotsOf(of);
  const graded = slots.flatMap((s) => s.measured.filter((m) => m.measure === 'grade'));
  return { slots, gradeScale: settleScale(graded, of.options, of.book) };
}

type Draft = { measured: Measured[]; round?: number; plantOfPlot?: readonly string[] };

function slotsOf(of: Parameters<typeof makeSlots>[0]): Slot[] {
  const { mapping } = of;
  const long = longMeasures(of);
  if ((mapping.wide ?? []).length === 0) {
    return long.length > 0 ? [{ measured: long, wide: false }] : [];
  }
  const list: Slot[] = [...wideSlots(of).values()]
    .sort((a, b) => (a.round ?? 0) - (b.round ?? 0))
    .map((slot) => ({ ...slot, wide: true }));
  const last = list[list.length - 1];
  if (last === undefined) return [{ measured: long, wide: true }];
  if (last.plantOfPlot === undefined) {
    return [...list.slice(0, -1), { ...last, measured: [...last.measured, ...long] }];
  }
  // A figure of the whole plot beside those of its plants would count its leaves twice.
  const { book } = of;
  for (const { column } of long) {
    book.add(say('plants-twice', { file: book.table.file, column: column.name }, column.name));
  }
  return list;
}

function longMeasures({
  mapping,
  found,
  options,
  book,
}: Parameters<typeof makeSlots>[0]): Measured[] {
  const at = { book, classes: options.gradeClasses };
  return [...measures, 'baseline' as const].flatMap((measure) => {
    const [column, ...more] = found.all(measure);
    for (const other of more) {
      const where = { file: book.table.file, column: other.name };
      book.add(say('two-for-role', where, column?.name ?? '', other.name));
    }
    return column ? [readMeasured(measure, column, mapping, at)] : [];
  });
}

function wideSlots(of: Parameters<typeof makeSlots>[0]): ReadonlyMap<string, Draft> {
  const { mapping, found, units, options, book } = of;
  const at = { book, classes: options.gradeClasses };
  const rounds = wideRounds(mapping);
  const slots = new Map<string, Draft>();
  for (const { measure, columns } of mapping.wide ?? []) {
    for (const wide of columns) {
      const column = found.named(wide.column);
      if (column === undefined) continue;
      const where = { file: book.table.file, column: column.name };
      const round = rounds?.indexOf.get(labelOf(wide, mapping) ?? '');
      if (rounds && round === undefined) {
        book.add(say('plants-twice', where, column.name));
        continue;
      }
      const key = `${round ?? ''}/${wide.plant ?? ''}`;
      const slot = slots.get(key) ?? startSlot(wide, round, units);
      const other = slot.measured.find((m) => m.measure === measure);
      if (other) book.add(say('two-for-role', where, other.column.name, column.name));
      else slot.measured.push(readMeasured(measure, column, mapping, at));
      slots.set(key, slot);
    }
  }
  return slots;
}

function startSlot(wide: WideColumn, round: number | undefined, units: Units): Draft {
  const plant = wide.plant?.slice(0, 19);
  return {
    measured: [],
    ...(round === undefined ? {} : { round }),
    ...(plant === undefined
      ? {}
      : { plantOfPlot: units.plots.list.map((p) => `${p.id}/${plant}`) }),
  };
}

/** True where the wide columns hold one plant each: then no other column names plants. */
export const hasWidePlants = (mapping: Mapping): boolean =>
  (mapping.wide ?? []).some((g) => g.columns.some((c) => c.plant !== undefined));
