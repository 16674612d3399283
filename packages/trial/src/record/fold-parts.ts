import { daysBetween, type Problem } from '@fairbed/field';
import { present } from '../present';
import type { Plot, Trial } from '../schema';
import { byNumber } from './fold-scores';
import type { NumberedDraw } from './plan';
import { leftOut, type Read, readThings, type RecordSource } from './source';
import { readPlantThing } from './things';
import {
  lostSchema,
  plantSchema,
  planShapes,
  type PlanValues,
  roundSchema,
  type RoundValue,
  spraySchema,
} from './values';

/** What the parts of a trial are folded with. */
export type Fold = {
  readonly source: RecordSource;
  readonly plan: PlanValues;
  readonly draws: readonly NumberedDraw[];
  readonly report: (problem: Problem) => void;
};

/** A name that no other of the list has: the document needs each to be told from the others. */
function ownNames<T extends { readonly id: string; readonly name: string }>(
  list: readonly T[],
  report: Fold['report'],
): T[] {
  const seen = new Set<string>();
  return list.map((one) => {
    let { name } = one;
    if (seen.has(name) || name === '__proto__') {
      name = `${name.slice(0, 9000)} (${one.id})`;
      for (let n = 2; seen.has(name); n++) name = `${one.name.slice(0, 9000)} (${one.id}, ${n})`;
      report({
        kind: 'note',
        code: 'duplicate-name',
        what: `Two treatments are called “${one.name.slice(0, 60)}”; the second is shown as “${name.slice(0, 80)}”.`,
        do: 'Give each its own name.',
      });
    }
    seen.add(name);
    return { ...one, name };
  });
}

/**
 * Treatments that were taken off the plan although plots were laid out for them, or sprayed with
 * them, as the plan last had them: what stands in a plot does not go away with a line of the plan,
 * nor do the days to keep out and off the harvest. No spray is asked for any more.
 */
function stillInTheBed({ source, plan, draws, report }: Fold): Trial['treatments'] {
  const planned = new Set((plan.treatments ?? []).map(({ id }) => id));
  const sprayed = readThings(source, { kind: 'spray', shape: spraySchema }, () => undefined);
  const used = new Set([
    ...(draws.at(-1)?.value.layout ?? []).map(({ treatment }) => treatment),
    ...sprayed.map(({ value }) => value.treatment),
  ]);
  const gone = [...used].filter((id) => !planned.has(id));
  if (gone.length === 0) return [];
  const lists = source.history('plan', 'treatments').flatMap(({ value }) => {
    const read = planShapes.treatments.safeParse(value);
    return read.success ? [read.data] : [];
  });
  return gone.flatMap((id) => {
    const last = lists.findLast((list) => list.some((one) => one.id === id));
    const treatment = last?.find((one) => one.id === id);
    if (treatment === undefined) return [];
    report({
      kind: 'note',
      code: 'treatment-kept',
      what: `“${treatment.name.slice(0, 60)}” was taken off the plan, but plots were laid out for it or sprayed with it, so it stays in the trial.`,
      do: 'Draw the layout again without it, or put it back.',
    });
    return [present({ ...treatment, everyDays: undefined })];
  });
}

/** The treatments of the plan, then those taken off it that are still in the bed. */
export const foldTreatments = (fold: Fold): Trial['treatments'] =>
  ownNames([...(fold.plan.treatments ?? []), ...stillInTheBed(fold)], fold.report);

/** The control, where the plan names one of its treatments. */
export function foldControl({ plan, report }: Fold): string | undefined {
  const { control, treatments = [] } = plan;
  if (control === undefined || treatments.some(({ id }) => id === control)) return control;
  report(
    leftOut(`The control “${control}” was left out: it is no treatment.`, 'Choose a control.'),
  );
  return undefined;
}

type LayoutRow = NumberedDraw['value']['layout'][number];

function placeOf(row: LayoutRow, { plan, report }: Fold): Plot['place'] {
  const { place, plot } = row;
  if (place === undefined || (plan.beds ?? []).some(({ id }) => id === place.bed)) return place;
  const words = `The place of plot “${plot}” was left out: the plan has no bed “${place.bed}”.`;
  report(leftOut(words, 'Add the bed, or draw the layout again.'));
  return undefined;
}

function lostPlots({ source, report }: Fold) {
  return new Map(
    readThings(source, { kind: 'lost-plot', shape: lostSchema }, report).map((lost) => [
      lost.thing,
      lost.value,
    ]),
  );
}

/** The plots of the layout in use. One whose treatment the plan never had is left out. */
export function foldPlots(fold: Fold): Plot[] {
  const layout = fold.draws.at(-1)?.value.layout ?? [];
  const known = foldTreatments({ ...fold, report: () => undefined });
  const treatments = new Set(known.map(({ id }) => id));
  const lost = lostPlots(fold);
  const plots = layout.flatMap((row): Plot[] => {
    const { plot: id, ...rest } = row;
    if (!treatments.has(row.treatment)) {
      // Which treatment is not said: this is read before the reveal.
      const words = `Plot “${id}” was left out: the plan has no such treatment as was drawn for it.`;
      fold.report(leftOut(words, 'Put the treatment back, or draw the layout again.'));
      return [];
    }
    return [present({ ...rest, id, place: placeOf(row, fold), lost: lost.get(id) })];
  });
  const laidOut = new Set(plots.map(({ id }) => id));
  for (const id of lost.keys()) {
    if (laidOut.has(id)) continue;
    fold.report(leftOut(`Lost plot “${id}” was left out: the layout has no such plot.`, ''));
  }
  return plots;
}

/** The blocks of a layout, in the order of their plots. */
export const foldBlocks = (plots: readonly Plot[]): Trial['blocks'] =>
  [...new Set(plots.flatMap(({ block }) => block ?? []))].map((id) => ({ id, name: id }));

/** Ids of the plants of a plot: 1, 2 ... as many as the plan says. */
export const plantIds = (plantsPerPlot: number): readonly string[] =>
  Array.from({ length: plantsPerPlot }, (_, i) => String(i + 1));

/** More plants than this are not listed by number alone. */
const mostPlants = 100_000;

/**
 * Plants of every plot: as many as the plan says, those written down and those scored, by number.
 * Where neither plan nor ledger lists any, none is listed.
 */
export function foldPlants(
  fold: Fold,
  plots: readonly Plot[],
  scores: Trial['scores'],
): Trial['plants'] {
  const { plan, source, report } = fold;
  const perPlot = new Map<string, Map<string, Trial['plants'][number]>>(
    plots.map(({ id }) => [id, new Map()]),
  );
  const planned = plan.plantsPerPlot ?? 0;
  if (planned * plots.length <= mostPlants) {
    for (const [plot, plants] of perPlot) {
      for (const id of plantIds(planned)) plants.set(id, { id, plot });
    }
  }
  let listed = planned > 0;
  for (const { thing, value } of readThings(
    source,
    { kind: 'plant', shape: plantSchema },
    report,
  )) {
    const place = readPlantThing(thing);
    const plants = place && perPlot.get(place.plot);
    if (place === undefined || plants === undefined) {
      report(
        leftOut(`Plant “${thing.slice(0, 60)}” was left out: the layout has no such plot.`, ''),
      );
      continue;
    }
    plants.set(place.plant, present({ id: place.plant, plot: place.plot, ...value }));
    listed = true;
  }
  if (!listed) return [];
  for (const { plot, plant } of scores) {
    const plants = perPlot.get(plot);
    if (plant !== undefined && plants?.has(plant) === false) plants.set(plant, { id: plant, plot });
  }
  return [...perPlot.values()].flatMap((plants) =>
    [...plants.values()].sort((a, b) => byNumber(a.id, b.id)),
  );
}

type RoundRow = Trial['rounds'][number];
export type FoldedRounds = {
  readonly rounds: readonly RoundRow[];
  /** Every round id that was written, and the round it is; two of one day are one. */
  readonly byId: ReadonlyMap<string, RoundRow>;
};

function strips(plan: PlanValues): boolean | undefined {
  if (plan.stripping === 'all-diseased') return true;
  return plan.stripping === 'none' ? false : undefined;
}

const roundOf = (id: string, value: RoundValue, plan: PlanValues): RoundRow => {
  const { day, name, stripping = strips(plan), done, blind, baseline, note } = value;
  return present({ id, day, name, stripping, done, blind, baseline, note });
};

/**
 * The rounds by day. Two devices can each begin a round on one day; those are one round, the first
 * written, and it is said.
 */
export function foldRounds({ source, plan, report }: Fold): FoldedRounds {
  const read: Read<RoundValue>[] = readThings(
    source,
    { kind: 'round', shape: roundSchema },
    report,
  ).filter(({ thing }) => thing !== '' && thing.length <= 200 && thing !== '__proto__');
  const byDay = new Map<string, RoundRow>();
  const byId = new Map<string, RoundRow>();
  const ordered = read.toSorted((a, b) => daysBetween(b.value.day, a.value.day));
  for (const { thing, value } of ordered) {
    const before = byDay.get(value.day);
    const round = before ?? roundOf(thing, value, plan);
    if (before !== undefined) {
      report({
        kind: 'note',
        code: 'two-rounds-a-day',
        what: `Rounds “${before.id}” and “${thing}” were both held on ${value.day} and are taken as one.`,
        do: 'Correct the day of one of them if they were two.',
      });
    }
    byDay.set(value.day, round);
    byId.set(thing, round);
  }
  return { rounds: [...byDay.values()], byId };
}
