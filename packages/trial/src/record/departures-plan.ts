import type { Departure } from '../schema';
import { sameJson } from './canonical';
import { drawsOf, frozenPlan, type HeldTo, layoutsEver, sealsOf, writtenAfter } from './plan';
import { changeWords } from './plan-words';
import { dayOfClock, type RecordSource } from './source';
import { readScoreThing, sealThing } from './things';

/** ` on 2026-06-01`, or nothing where the day is not known. */
export const on = (day: string | undefined): string => (day === undefined ? '' : ` on ${day}`);

/** ` (why)`, without the stop at its end. */
export const because = (why: string | undefined): string => {
  const text = (why ?? '')
    .trim()
    .replace(/[.\s]+$/, '')
    .slice(0, 500);
  return text === '' ? '' : `: ${text}`;
};

export const departure = (code: string, day: Departure['day'], what: string): Departure =>
  day === undefined ? { code, what } : { code, day, what };

export type PlanReading = {
  readonly source: RecordSource;
  readonly held: HeldTo;
  readonly nameOf: (id: string) => string;
};

/** Fields of the plan that are no longer what was sealed. */
function changedFields({ source, held, nameOf }: PlanReading): Departure[] {
  if (held.seal === undefined) return [];
  const before = held.seal.value.plan;
  const now = frozenPlan(source);
  const fields = [...new Set([...Object.keys(before), ...Object.keys(now)])];
  return fields
    .filter((field) => field !== 'draw')
    .flatMap((field) => {
      const last = source.history('plan', field).at(-1);
      const day = last === undefined ? undefined : dayOfClock(last.clock);
      return changeWords({ field, before: before[field], now: now[field] }, nameOf).map((words) =>
        departure('plan-changed', day, `${words}${on(day)}, after the plan was sealed.`),
      );
    });
}

type SealedDraw = { readonly number?: unknown };

/** Layouts drawn after the seal, and a sealed layout that was written over. */
function redraws({ source, held }: PlanReading): Departure[] {
  const { seal } = held;
  if (seal === undefined) return [];
  const draws = drawsOf(source);
  const later = draws.filter(({ entry }) => writtenAfter(entry, seal.entry.clock));
  const told = later.map(({ number, value: { day, why } }) =>
    departure(
      'redrawn',
      day,
      `The layout was drawn again on ${day} (draw ${number}), after the plan was sealed${because(why)}.`,
    ),
  );
  const before = seal.value.plan['draw'] as SealedDraw | undefined;
  const now = frozenPlan(source)['draw'];
  if (told.length > 0 || sameJson(before, now)) return told;
  const number = typeof before?.number === 'number' ? ` (draw ${before.number})` : '';
  return [
    departure('redrawn', undefined, `The layout is no longer the one that was sealed${number}.`),
  ];
}

/** Layouts that stood under the number of another: two devices drew, or one was taken back. */
function hiddenLayouts({ source }: PlanReading): Departure[] {
  const inUse = new Map(drawsOf(source).map((draw) => [draw.number, draw.value]));
  const others = new Map<number, Set<number>>();
  for (const { number, value } of layoutsEver(source)) {
    const used = inUse.get(number);
    if (used?.seed === value.seed && sameJson(used.layout, value.layout)) continue;
    others.set(number, (others.get(number) ?? new Set()).add(value.seed));
  }
  return [...others].map(([number, seeds]) => {
    const list = [...seeds].join(', ');
    const words = inUse.has(number)
      ? `Layout ${number} was drawn more than once: beside the one in use with seed ${list}.`
      : `Layout ${number} was drawn and taken back (seed ${list}).`;
    return departure('drawn-twice', undefined, words);
  });
}

/** A trial that was scored unsealed, a seal taken back, a seal set again when scores were in. */
function sealing({ source, held }: PlanReading): Departure[] {
  const { seal, firstScore } = held;
  if (firstScore === undefined) return [];
  if (seal === undefined) {
    const words = 'The plan was never sealed, so nothing shows what was decided before scoring.';
    return [departure('not-sealed', undefined, words)];
  }
  const stands = source.things('seal').some(([thing]) => thing === sealThing);
  const again = sealsOf(source).filter(
    ({ entry }) => writtenAfter(entry, firstScore) && writtenAfter(entry, seal.entry.clock),
  );
  const last = source.history('seal', sealThing).at(-1);
  const taken = stands || last === undefined ? undefined : dayOfClock(last.clock);
  return [
    ...again.map(({ value: { day } }) =>
      departure('sealed-again', day, `The plan was sealed again on ${day}, when scores were in.`),
    ),
    ...(stands
      ? []
      : [departure('seal-taken-back', taken, `The seal of the plan was taken back${on(taken)}.`)]),
  ];
}

/** Scores that stood before the plan was sealed, those of baseline rounds apart. */
function earlyScores({ source, held }: PlanReading): Departure[] {
  const { seal, firstScore, baseline } = held;
  if (seal === undefined || firstScore === undefined || firstScore > seal.entry.clock) return [];
  const early = source.things('score').filter(([thing, { clock }]) => {
    const place = readScoreThing(thing);
    return place !== undefined && !baseline.has(place.round) && clock < seal.entry.clock;
  }).length;
  const figures = early === 1 ? 'figure was' : 'figures were';
  const day = seal.value.day;
  return [
    departure(
      'scored-before-seal',
      day,
      early === 0
        ? `Scoring had begun when the plan was sealed on ${day}.`
        : `${early} ${figures} entered before the plan was sealed on ${day}.`,
    ),
  ];
}

/** What was decided otherwise, or later, than the seal says. */
export const planDepartures = (reading: PlanReading): Departure[] => [
  ...sealing(reading),
  ...earlyScores(reading),
  ...hiddenLayouts(reading),
  ...redraws(reading),
  ...changedFields(reading),
];
