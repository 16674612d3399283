import type { Day } from '@fairbed/field';
import { isOutcomeId, outcomeTitle } from '../outcomes';
import type { Departure } from '../schema';
import {
  lostDepartures,
  revealDepartures,
  roundDepartures,
  sprayDepartures,
  sprayerDepartures,
  strippingDepartures,
} from './departures-course';
import { planDepartures } from './departures-plan';
import { type Fold, foldPlots, foldTreatments } from './fold-parts';
import { drawsOf, type HeldTo, heldTo, planOf, revealOf } from './plan';
import { type HeldRound, scheduleOf } from './rounds-plan';
import { readThings, type RecordSource } from './source';
import { roundsOfScores } from './things';
import { planShapes, roundSchema, spraySchema } from './values';

const silent = (): void => undefined;

/** Rounds that were held: some plant was scored or skipped, or the scorer said it was done. */
function heldRounds(source: RecordSource) {
  const scored = roundsOfScores(source.things('score').map(([thing]) => thing));
  return readThings(source, { kind: 'round', shape: roundSchema }, silent)
    .filter(({ thing, value }) => value.done === true || scored.has(thing))
    .map(({ thing, value }) => ({ id: thing, ...value }));
}

/** The day of every round ever begun, those taken back too, by its id. */
const lastDays = (source: RecordSource): ReadonlyMap<string, string> =>
  new Map(
    source.everWritten('round').flatMap(([thing]) => {
      const last = source.history('round', thing).findLast(({ value }) => value !== null);
      const read = roundSchema.safeParse(last?.value);
      return read.success ? [[thing, read.data.day] as const] : [];
    }),
  );

/** Of rounds held on one day, the first written. */
function oncePerDay<T extends HeldRound>(rounds: readonly T[]): T[] {
  const days = new Set<string>();
  return rounds.filter(({ day }) => !days.has(day) && days.add(day));
}

/** Names of treatments and outcomes by their id, as the plan has them or as the seal had them. */
function namesIn({ plan }: Fold, { seal }: HeldTo): (id: string) => string {
  const read = planShapes.treatments.safeParse(seal?.value.plan['treatments']);
  const treatments = [...(plan.treatments ?? []), ...(read.data ?? [])];
  return (id) =>
    treatments.find((one) => one.id === id)?.name ??
    (isOutcomeId(id) ? outcomeTitle(id, plan.valueMeasure) : id);
}

/**
 * What was done otherwise than the sealed plan says: fields of the plan changed after the seal (old
 * and new value named), layouts drawn after it or twice under one number, scores entered before it; rounds held more than two
 * days off their planned day, missed or added, stripping against the rule; lost plots, plots sprayed
 * with another's treatment; a reveal before the last planned round, figures entered, changed or taken
 * back after it, rounds and lost plots written after it. In order of day, those without a day first. `today` also tells a round missed that no later
 * one has followed yet; without it the answer depends on the ledger alone.
 *
 * Rounds are matched to planned days in order ({@link scheduleOf}). Days of plan entries are those
 * of their clocks, by world time.
 */
export function departuresOf(source: RecordSource, today?: Day): readonly Departure[] {
  const fold: Fold = { source, plan: planOf(source), draws: drawsOf(source), report: silent };
  const held = heldTo(source);
  const reveal = revealOf(source);
  const rounds = oncePerDay(heldRounds(source));
  const planned = rounds.filter(({ id }) => !held.baseline.has(id));
  const schedule = scheduleOf(fold.plan.rounds, planned);
  const days = lastDays(source);
  const plots = foldPlots(fold);
  const until = [today, reveal?.value.day]
    .filter((day) => day !== undefined)
    .sort()
    .at(-1);
  const all = [
    ...planDepartures({ source, held, nameOf: namesIn(fold, held) }),
    ...roundDepartures(schedule, until),
    ...strippingDepartures(fold.plan.stripping, rounds),
    ...lostDepartures({
      source,
      plots,
      reveal: reveal && { ...reveal.value, entry: reveal.entry },
    }),
    ...sprayDepartures({
      plots,
      treatments: foldTreatments(fold),
      sprays: readThings(source, { kind: 'spray', shape: spraySchema }, silent).map(
        ({ value }) => value,
      ),
      revealed: reveal !== undefined,
    }),
    ...sprayerDepartures(source),
    ...(reveal === undefined
      ? []
      : revealDepartures({
          source,
          schedule,
          reveal: { ...reveal.value, entry: reveal.entry },
          dayOfRound: (round) => days.get(round) ?? round,
        })),
  ];
  return all.sort((a, b) =>
    (a.day ?? '') < (b.day ?? '') ? -1 : (a.day ?? '') > (b.day ?? '') ? 1 : 0,
  );
}
