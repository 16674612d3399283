import type { Problem } from '@fairbed/field';
import type { z } from 'zod/mini';
import type { revealSchema } from '../schema';
import { shapeProblems } from '../shape';
import { canonicalJson, sameJson } from './canonical';
import { byText, leftOut, type Read, readThings, type RecordSource, type Written } from './source';
import { readDrawThing, readScoreThing, revealThing, sealThing } from './things';
import {
  type Draw,
  drawSchema,
  isPlanField,
  planShapes,
  type PlanValues,
  revealSchema as revealShape,
  roundSchema,
  type Seal,
  sealSchema,
} from './values';

type Report = (problem: Problem) => void;
const silent: Report = () => undefined;

/** The plan as it stands: every field that has a good value. */
export function planOf(source: RecordSource, report: Report = silent): PlanValues {
  const plan: Record<string, unknown> = {};
  for (const [field, { value }] of source.things('plan')) {
    if (!isPlanField(field)) continue;
    const read = planShapes[field].safeParse(value);
    if (read.success) plan[field] = read.data;
    else {
      const why = shapeProblems(read.error.issues, value)[0]?.what ?? '';
      report(leftOut(`The plan's ${field} was left out. ${why}`, 'Enter it again.', 'bad-value'));
    }
  }
  return plan;
}

export type NumberedDraw = Read<Draw> & { readonly number: number };

const frozenDraw = (number: number, { value }: Written) => {
  // As it was written, not as it was read: what a newer version wrote there is frozen too.
  const { seed, layout } = value as Draw;
  return { number, seed, layout };
};

/** Every layout ever written under the number of a draw, those taken back too, in clock order. */
export function layoutsEver(source: RecordSource): readonly NumberedDraw[] {
  return source.everWritten('draw').flatMap(([thing]) => {
    const number = readDrawThing(thing);
    if (number === undefined) return [];
    return source.history('draw', thing).flatMap((entry) => {
      const read = drawSchema.safeParse(entry.value);
      return read.success ? [{ thing, number, value: read.data, entry }] : [];
    });
  });
}

/**
 * Every draw that stands, in order of its number. The last is the layout in use. Where two devices
 * drew one number, or one was written over, it is the layout that was sealed, else the later one.
 */
export function drawsOf(source: RecordSource, report: Report = silent): readonly NumberedDraw[] {
  const before = heldTo(source).seal?.value.plan['draw'];
  const ofSeal = layoutsEver(source).find(({ number, entry }) =>
    sameJson(frozenDraw(number, entry), before),
  );
  const standing = readThings(source, { kind: 'draw', shape: drawSchema }, report).flatMap(
    (draw): NumberedDraw[] => {
      const number = readDrawThing(draw.thing);
      return number === undefined ? [] : [{ ...draw, number }];
    },
  );
  const others = standing.filter(({ number }) => number !== ofSeal?.number);
  return [...others, ...(ofSeal === undefined ? [] : [ofSeal])].sort((a, b) => a.number - b.number);
}

type Reveal = z.infer<typeof revealSchema>;

/**
 * The first reveal that was ever written: what was seen stays seen, whoever revealed again or took
 * it back since.
 */
export function revealOf(source: RecordSource): Read<Reveal> | undefined {
  for (const entry of source.history('reveal', revealThing)) {
    const read = revealShape.safeParse(entry.value);
    if (read.success) return { thing: revealThing, value: read.data, entry };
  }
  return undefined;
}

/** Fields that say how things are called or lie; changing them departs from nothing. */
const notFrozen: ReadonlySet<string> = new Set(['title', 'note', 'garden', 'beds', 'draw']);

/**
 * What sealing freezes: every field of the plan but its title, note, garden and beds, and the layout
 * in use with its number and seed, as `draw`. A field of a newer version is frozen too.
 */
export function frozenPlan(source: RecordSource): Readonly<Record<string, unknown>> {
  const draw = drawsOf(source).at(-1);
  const fields = source
    .things('plan')
    .filter(([field]) => !notFrozen.has(field))
    .map(([field, { value }]) => [field, value] as const);
  if (draw === undefined) return Object.fromEntries(fields);
  return { ...Object.fromEntries(fields), draw: frozenDraw(draw.number, draw.entry) };
}

/**
 * The text whose SHA-256 seals the plan as it stands: {@link frozenPlan} as canonical JSON
 * (RFC 8785). The value of the seal entry is that hash in hexadecimal, the day, and frozenPlan.
 */
export const sealText = (source: RecordSource): string => canonicalJson(frozenPlan(source));

type ReadSeal = { readonly value: Seal; readonly entry: Written };

/** Every seal that was ever set, in clock order. */
export function sealsOf(source: RecordSource): readonly ReadSeal[] {
  return source.history('seal', sealThing).flatMap((entry) => {
    const read = sealSchema.safeParse(entry.value);
    return read.success ? [{ value: read.data, entry }] : [];
  });
}

/**
 * Rounds held before any treatment, which may be scored before the plan is sealed. One that was
 * taken back was what it last was.
 */
function baselineRounds(source: RecordSource): ReadonlySet<string> {
  const last = (thing: string): unknown =>
    source.history('round', thing).findLast(({ value }) => value !== null)?.value;
  return new Set(
    source.everWritten('round').flatMap(([thing]) => {
      const read = roundSchema.safeParse(last(thing));
      return read.success && read.data.baseline === true ? [thing] : [];
    }),
  );
}

/** Clock of the first score of a round that is not a baseline; one taken back was seen all the same. */
function firstScore(source: RecordSource): string | undefined {
  const baseline = baselineRounds(source);
  const first = source.everWritten('score').find(([thing]) => {
    const place = readScoreThing(thing);
    return place !== undefined && place.field !== 'skipped' && !baseline.has(place.round);
  });
  if (first === undefined) return undefined;
  const [thing, entry] = first;
  return source.history('score', thing)[0]?.clock ?? entry.clock;
}

/** The seal a trial is held to, and whatever was sealed later or taken back. */
export type HeldTo = {
  readonly seal: ReadSeal | undefined;
  readonly firstScore: string | undefined;
  readonly baseline: ReadonlySet<string>;
};

/**
 * The seal that counts: the last one set before the first score (a seal that was mended before
 * anything was scored hides nothing), else the first one set after it.
 */
export function heldTo(source: RecordSource): HeldTo {
  const seals = sealsOf(source);
  const first = firstScore(source);
  const before = seals.filter(({ entry }) => first === undefined || entry.clock < first);
  return { seal: before.at(-1) ?? seals[0], firstScore: first, baseline: baselineRounds(source) };
}

/** The present plan beside the sealed one. */
export type SealState =
  | { readonly sealed: false }
  | {
      readonly sealed: true;
      readonly day: Seal['day'];
      readonly hash: string;
      /** The sealed plan as text; its SHA-256 must be `hash`. */
      readonly text: string;
      /** Whether the plan as it stands is the sealed one. */
      readonly same: boolean;
    };

/** Whether a plan is sealed, with what text, and whether it still stands as it was sealed. */
export function sealed(source: RecordSource): SealState {
  const { seal } = heldTo(source);
  const stands = source.things('seal').some(([thing]) => thing === sealThing);
  if (seal === undefined || !stands) return { sealed: false };
  const { day, hash, plan } = seal.value;
  const same = sameJson(plan, frozenPlan(source));
  return { sealed: true, day, hash, text: canonicalJson(plan), same };
}

/** Entries written after a clock. */
export const writtenAfter = (entry: Written, clock: string): boolean =>
  byText(entry.clock, clock) > 0;
