import { z } from 'zod/mini';
import { findHostile } from '../hostile';
import { type LossCause, lossCauseSchema } from '../schema';
import { shapeProblems } from '../shape';
import {
  cutScoreThing,
  readDrawThing,
  readPlantThing,
  readScoreUnit,
  type ScoreField,
} from './things';
import {
  drawSchema,
  eventSchema,
  harvestSchema,
  isPlanField,
  lostSchema,
  noteSchema,
  photoSchema,
  plantSchema,
  planShapes,
  revealSchema,
  roundSchema,
  sealSchema,
  spraySchema,
} from './values';

/** A kind of entry: its name and version, and a fault in words where a value can't be. */
export type RecordKind = {
  readonly name: string;
  readonly version: number;
  /** Undefined when thing and value are good, or the value is null: taken back. */
  readonly read: (thing: string, value: unknown) => string | undefined;
};

type Shape = z.ZodMiniType;

/** Of a field that a newer version knows, only that it can do no harm. */
const anything = z.unknown();

function faultOf(shape: Shape, value: unknown): string | undefined {
  const hostile = findHostile(value);
  if (hostile !== undefined) return hostile.what;
  const read = shape.safeParse(value);
  return read.success ? undefined : shapeProblems(read.error.issues, value)[0]?.what;
}

const isId = (thing: string): boolean =>
  thing !== '' && thing.length <= 200 && thing !== '__proto__';

type KindOf = { readonly named: (thing: string) => boolean; readonly thing: string };

/** A kind whose values have one shape. */
function kindOf(name: string, shape: Shape, { named, thing: words }: KindOf): RecordKind {
  return {
    name,
    version: 1,
    read: (thing, value) => {
      if (!named(thing)) return `"${thing.slice(0, 60)}" is not ${words}.`;
      return value === null ? undefined : faultOf(shape, value);
    },
  };
}

const byId: KindOf = { named: isId, thing: 'an id' };
const only = (name: string): KindOf => ({ named: (thing) => thing === name, thing: `"${name}"` });

const plan: RecordKind = {
  name: 'plan',
  version: 1,
  read: (thing, value) => {
    if (!/^[a-z][A-Za-z0-9-]{0,59}$/.test(thing))
      return `"${thing.slice(0, 60)}" is no plan field.`;
    // A field that a newer version knows is kept and not read.
    return value === null
      ? undefined
      : faultOf(isPlanField(thing) ? planShapes[thing] : anything, value);
  },
};

const isLeaves = (value: unknown): value is number =>
  typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 1_000_000;
const isPercent = (value: unknown): boolean =>
  typeof value === 'number' && value >= 0 && value <= 100;
const isNumber = (value: unknown): boolean => typeof value === 'number' && Number.isFinite(value);
const causes: ReadonlySet<unknown> = new Set<LossCause>(lossCauseSchema.options);
const isText = (value: unknown): boolean => typeof value === 'string' && value.length <= 10_000;

const isLosses = (value: unknown): boolean =>
  Array.isArray(value) &&
  value.length <= 100 &&
  value.every((part: unknown) => {
    if (typeof part !== 'object' || part === null) return false;
    const { leaves, why } = part as { readonly leaves?: unknown; readonly why?: unknown };
    return isLeaves(leaves) && causes.has(why);
  });

type FieldRule = { readonly good: (value: unknown) => boolean; readonly words: string };
const leaves: FieldRule = { good: isLeaves, words: 'a whole number of leaves, 0 or more' };
const share: FieldRule = { good: isPercent, words: 'a number from 0 to 100' };

/**
 * Written out, not by a schema: a season has tens of thousands of these, each read when a trial is
 * opened. schema.ts says the same of a whole score.
 */
const scoreRules: Readonly<Record<ScoreField, FieldRule>> = {
  standing: leaves,
  diseased: leaves,
  stripped: leaves,
  strippedDiseased: leaves,
  lost: {
    good: isLosses,
    words: `a list of leaves and why: ${lossCauseSchema.options.join(', ')}`,
  },
  severity: share,
  grade: { good: isNumber, words: 'a number' },
  injury: share,
  vigour: share,
  stage: {
    good: (value) => isLeaves(value) && value <= 99,
    words: 'a growth stage, a whole number from 0 to 99',
  },
  value: { good: isNumber, words: 'a number' },
  note: { good: isText, words: 'a text of at most 10000 signs' },
  skipped: {
    good: (value) => isText(value) && value !== '',
    words: 'the reason why it was skipped, in words',
  },
};

/** Whether a value can be the score of a field. */
export const isScoreValue = (field: ScoreField, value: unknown): boolean =>
  scoreRules[field].good(value);

function unitFault(unit: string): string | undefined {
  const place = readScoreUnit(unit);
  if (place === undefined) {
    return `"${unit.slice(0, 60)}" names no round, plot, plant and disease of a score.`;
  }
  const ids = [place.round, place.plot, place.plant, place.disease];
  return ids.every((id) => id === undefined || isId(id)) ? undefined : 'A score has a bad id.';
}

function scoreKind(): RecordKind {
  // Figures of one plant follow each other, so the unit read last is mostly the one to be read.
  let last: { readonly unit: string; readonly fault: string | undefined } | undefined;
  return {
    name: 'score',
    version: 1,
    read: (thing, value) => {
      const cut = cutScoreThing(thing);
      if (cut === undefined) return `"${thing.slice(0, 60)}" names no figure of a score.`;
      const { unit, field } = cut;
      if (last?.unit !== unit) last = { unit, fault: unitFault(unit) };
      if (last.fault !== undefined) return last.fault;
      if (value === null || isScoreValue(field, value)) return undefined;
      return `${field} must be ${scoreRules[field].words}.`;
    },
  };
}

/**
 * The kinds of entry a trial's ledger knows. Each has the shape of a notebook's kind; the value of
 * every one may be null, which takes back what was written.
 */
export const recordKinds: readonly RecordKind[] = [
  plan,
  kindOf('draw', drawSchema, {
    named: (thing) => readDrawThing(thing) !== undefined,
    thing: 'the number of a draw',
  }),
  kindOf('seal', sealSchema, only('seal')),
  kindOf('reveal', revealSchema, only('reveal')),
  kindOf('round', roundSchema, byId),
  scoreKind(),
  kindOf('lost-plot', lostSchema, byId),
  kindOf('plant', plantSchema, {
    named: (thing) => {
      const place = readPlantThing(thing);
      return place !== undefined && isId(place.plot) && isId(place.plant);
    },
    thing: 'a plot and a plant',
  }),
  kindOf('spray', spraySchema, byId),
  kindOf('event', eventSchema, byId),
  kindOf('harvest', harvestSchema, byId),
  kindOf('photo', photoSchema, {
    named: (thing) => /^[0-9a-f]{64}$/.test(thing),
    thing: 'the SHA-256 of a photo, 64 hexadecimal digits',
  }),
  kindOf('note', noteSchema, byId),
];
