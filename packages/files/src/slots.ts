import { type Day, readDay } from '@fairbed/field';
import { type Mapping, measures, type WideColumn } from './mapping';
import { type Measured, readMeasured } from './measured';
import { roundOrder, roundsFrom, type Rounds } from './rounds';
import type { RowBook } from './rowbook';
import type { Slot, Units } from './scores';
import type { Found, TrialOptions } from './totrial';
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
  readonly wide: boolean;
}): Slot[] {
  const { mapping, found, units, options, book } = of;
  const at = { book, classes: options.gradeClasses };
  const long: Measured[] = [...measures, 'baseline' as const].flatMap((measure) =>
    found
      .all(measure)
      .slice(0, 1)
      .map((column) => readMeasured(measure, column, mapping, at)),
  );
  const groups = mapping.wide ?? [];
  if (groups.length === 0) return long.length > 0 ? [{ measured: long, wide: false }] : [];
  const rounds = wideRounds(mapping);
  const slots = new Map<string, { measured: Measured[]; round?: number; plantOfPlot?: string[] }>();
  for (const group of groups) {
    for (const wide of group.columns) {
      const column = found.named(wide.column);
      if (column === undefined) continue;
      const label = labelOf(wide, mapping);
      const round = label === undefined ? undefined : rounds?.indexOf.get(label);
      const key = `${round ?? ''}/${wide.plant ?? ''}`;
      const slot = slots.get(key) ?? {
        measured: [],
        ...(round === undefined ? {} : { round }),
        ...(wide.plant === undefined
          ? {}
          : {
              plantOfPlot: units.plots.list.map((p) => `${p.id}/${wide.plant ?? ''}`.slice(0, 200)),
            }),
      };
      slot.measured.push(readMeasured(group.measure, column, mapping, at));
      slots.set(key, slot);
    }
  }
  const list: Slot[] = [...slots.values()]
    .sort((a, b) => (a.round ?? 0) - (b.round ?? 0))
    .map((slot) => ({ ...slot, wide: true }));
  if (long.length === 0) return list;
  const last = list[list.length - 1];
  // Figures of the whole plot do not belong to one of its plants.
  if (last === undefined || last.plantOfPlot) return [...list, { measured: long, wide: true }];
  return [...list.slice(0, -1), { ...last, measured: [...last.measured, ...long] }];
}
