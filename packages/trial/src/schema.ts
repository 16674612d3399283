import { type Day, readDay } from '@fairbed/field';
import { z } from 'zod/mini';

/**
 * The trial document, version 1: the shape every screen, file and analysis of Fairbed agrees on.
 * docs/trial-format.md explains it for people. Lists are flat and refer to each other by id, so
 * that one entry can be added or corrected without touching another.
 *
 * Not every part is filled by a spreadsheet; what is unknown is left out, never invented.
 */

export const idSchema = z.string().check(z.minLength(1), z.maxLength(200));
export const textSchema = z.string().check(z.maxLength(10_000));
export const finiteSchema = z
  .number()
  .check(z.refine((n) => Number.isFinite(n), 'must be a number'));
export const countSchema = z.number().check(z.int(), z.gte(0), z.lte(1_000_000));
export const percentSchema = z.number().check(z.gte(0), z.lte(100));
const id = idSchema;
const text = textSchema;
const finite = finiteSchema;
const count = countSchema;
const percent = percentSchema;

/** Hours a label keeps people out, days a label keeps the harvest off, days between sprays. */
const waiting = finite.check(z.gte(0), z.lte(10_000));
const rate = z.object({ amount: finite, unit: text });
const metres = finite.check(z.gte(0), z.lte(100_000));
const sha256 = z.string().check(z.regex(/^[0-9a-f]{64}$/, 'must be 64 hexadecimal digits'));

export const daySchema = z.pipe(
  z.string().check(z.refine((s) => readDay(s) !== undefined, 'must be a day such as 2026-05-04')),
  z.transform((s) => s as Day),
);

/** The time of a day, by the clock on the wall there and then. */
export const timeSchema = z
  .string()
  .check(z.regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'must be a time such as 07:30'));

export const cropSchema = z.object({
  name: text,
  scientificName: z.optional(text),
  /** Id of a crop profile, where one was chosen. */
  profile: z.optional(id),
});
export const diseaseSchema = z.object({ id, name: text, scientificName: z.optional(text) });
export const gardenSchema = z.object({ name: text, place: z.optional(text) });

export const bedSchema = z.object({
  id,
  name: text,
  width: finite,
  height: finite,
  /** South-west corner of the bed in the garden, metres; x to the east, y to the north. */
  x: z.optional(finite),
  y: z.optional(finite),
  /** Ground no plot may lie on, metres from the bed's south-west corner. */
  blocked: z.optional(
    z.array(
      z.object({
        x: finite,
        y: finite,
        width: finite,
        height: finite,
        why: z.enum(['path', 'unusable']),
      }),
    ),
  ),
});

export const treatmentSchema = z.object({
  id,
  name: text,
  /** `unstated` when a sheet gives only a name. */
  kind: z.enum([
    'untreated',
    'water-only',
    'adjuvant-only',
    'product',
    'practice',
    'cultivar',
    'unstated',
  ]),
  /** Active ingredient, never a brand. */
  activeIngredient: z.optional(text),
  rate: z.optional(rate),
  modeOfAction: z.optional(text),
  /** What a practice changes: spacing, watering hour, leaf removal ... and to what. */
  practice: z.optional(z.object({ what: text, value: text })),
  cultivar: z.optional(text),
  /** Days from one spray to the next, as planned within the label. */
  everyDays: z.optional(waiting),
  /** Pre-harvest interval of the label, days. */
  preHarvestDays: z.optional(waiting),
  /** Re-entry interval of the label, hours. */
  reentryHours: z.optional(waiting),
  note: z.optional(text),
});

export const designKindSchema = z.enum([
  'completely-randomised',
  'randomised-blocks',
  'latin-square',
  'split-plot',
  'incomplete-blocks',
  'unreplicated',
]);

const designSchema = z.object({
  kind: designKindSchema,
  /** Seed of the draw, where Fairbed drew it. */
  seed: z.optional(z.number()),
  /** False when the grower says the places were chosen, not drawn; absent when nobody said. */
  randomised: z.optional(z.boolean()),
});

/** Place in the bed, metres from its south-west corner; x to the east, y to the north. */
export const placeSchema = z.object({
  bed: id,
  x: finite,
  y: finite,
  width: finite,
  height: finite,
});
export const lostSchema = z.object({ day: z.optional(daySchema), why: text });

const plotSchema = z.object({
  id,
  /** What the stake says. */
  code: z.optional(text),
  treatment: id,
  block: z.optional(id),
  row: z.optional(id),
  column: z.optional(id),
  wholePlot: z.optional(id),
  place: z.optional(placeSchema),
  lost: z.optional(lostSchema),
});

export const lossCauseSchema = z.enum([
  'storm',
  'pest',
  'other-disease',
  'age',
  'harvest',
  'accident',
  'unknown',
]);

const scoreSchema = z.object({
  plot: id,
  /** Absent when the whole plot was scored at once. */
  plant: z.optional(id),
  round: id,
  /** Absent: the trial's target disease. */
  disease: z.optional(id),
  /** A part scored on its own: a shoot of the plant, a sample of the plot. Parts are added up. */
  part: z.optional(id),
  leafPosition: z.optional(z.enum(['old', 'middle', 'new'])),
  /** Leaves on the plant when it was scored, before anything was stripped that day. */
  standing: z.optional(count),
  diseased: z.optional(count),
  /** Leaves stripped at this round, after scoring. */
  stripped: z.optional(count),
  /**
   * Of the stripped leaves, those that showed the disease. Absent: all of them did, as far as
   * `diseased` allows.
   */
  strippedDiseased: z.optional(count),
  /** Leaves lost since the round before to anything but stripping. */
  lost: z.optional(z.array(z.object({ leaves: count, why: lossCauseSchema }))),
  /** Percent of the leaf area diseased, healthy leaves included in the mean. */
  severity: z.optional(percent),
  /** One of the classes of `gradeScale`. */
  grade: z.optional(finite),
  /** Crop injury by the treatment, percent. */
  injury: z.optional(percent),
  /** Vigour, percent of the best plant of the day. */
  vigour: z.optional(percent),
  /** BBCH growth stage. */
  stage: z.optional(z.number().check(z.int(), z.gte(0), z.lte(99))),
  /** Any other number, meant as `valueMeasure` says. */
  value: z.optional(finite),
  /** The same kind of number, measured before any treatment and written in the same row. */
  baseline: z.optional(finite),
  note: z.optional(text),
  by: z.optional(text),
});

export const gradeScaleSchema = z.object({
  classes: z.array(finite).check(z.minLength(2)),
  /** The class that means no disease: the first or the last of `classes`. */
  healthy: finite,
});
export const valueMeasureSchema = z.object({
  name: text,
  unit: z.optional(text),
  better: z.enum(['lower', 'higher']),
});

export const spraySchema = z.object({
  day: daySchema,
  /** When spraying ended. */
  time: z.optional(timeSchema),
  treatment: id,
  /** Absent: all plots of the treatment. */
  plots: z.optional(z.array(id)),
  activeIngredient: z.optional(text),
  rate: z.optional(rate),
  /** Re-entry interval of the label, hours; absent: not written down. */
  reentryHours: z.optional(waiting),
  by: z.optional(text),
  note: z.optional(text),
});
export const eventSchema = z.object({
  day: daySchema,
  kind: z.enum(['storm', 'hail', 'frost', 'flood', 'drought', 'irrigation', 'pest', 'other']),
  plots: z.optional(z.array(id)),
  note: z.optional(text),
});
export const harvestSchema = z.object({
  day: daySchema,
  plot: id,
  plant: z.optional(id),
  grams: z.optional(finite),
  pieces: z.optional(count),
  note: z.optional(text),
});
export const photoSchema = z.object({
  round: z.optional(id),
  plot: z.optional(id),
  plant: z.optional(id),
  day: daySchema,
  time: z.optional(timeSchema),
  /** Size in pixels and in bytes. */
  width: count,
  height: count,
  bytes: z.number().check(z.int(), z.gte(0)),
  type: z.string().check(z.regex(/^image\/[a-z0-9.+-]{1,40}$/, 'must be a kind of image')),
});
export const noteSchema = z.object({
  text,
  plot: z.optional(id),
  plant: z.optional(id),
  round: z.optional(id),
  day: daySchema,
});
/** When rounds are held: the first on `firstDay`, then one every so many days. */
export const roundsPlanSchema = z.object({
  count: z.number().check(z.int(), z.gte(1), z.lte(1000)),
  everyDays: z.number().check(z.int(), z.gte(1), z.lte(1000)),
  firstDay: z.optional(daySchema),
});
/** When the trial is looked at while it runs, and how the chance of a false call is shared out. */
export const looksPlanSchema = z.object({
  /** `late`: hardly any before the end; `early`: most of it early; `even`: as much at every look. */
  spending: z.enum(['late', 'early', 'even']),
  /** Numbers of the planned rounds, from 1, after which it is looked at; absent: all. */
  rounds: z.optional(
    z.array(z.number().check(z.int(), z.gte(1), z.lte(1000))).check(
      z.minLength(1),
      z.refine(
        (list) => list.every((n, i) => i === 0 || n > (list[i - 1] ?? n)),
        'must be numbers of rounds in rising order',
      ),
    ),
  ),
});
export const plotSizeSchema = z.object({ width: metres, length: metres });
export const revealSchema = z.object({ day: daySchema, why: z.optional(text) });
const number = z.number().check(z.int(), z.gte(1));
const seedSchema = z.number().check(z.int(), z.gte(0), z.lte(0xffff_ffff));
export const drawnSchema = z.object({
  seed: seedSchema,
  day: daySchema,
  why: z.optional(text),
});

export const judgedBySchema = z.enum(['plots', 'leaves', 'grades', 'weeks', 'days']);

const planSchema = z.object({
  /** Main outcome, by its id (docs/measures.md). */
  outcome: z.optional(id),
  /** Smallest difference worth having: percent less disease than the control. */
  smallestDifferencePercent: z.optional(percent),
  /** Treatment of every plot was unknown to the scorer, at every round. */
  blind: z.optional(z.boolean()),
  rounds: z.optional(roundsPlanSchema),
  looks: z.optional(looksPlanSchema),
  /** What is stripped at a round, alike in every plot. */
  stripping: z.optional(text),
  /** Grounds the verdict will rest on (docs/methods.md); the rule's where absent. */
  judgedBy: z.optional(judgedBySchema),
  /** How the verdict will be made, in words. */
  method: z.optional(text),
  plantsPerPlot: z.optional(count),
  plotSize: z.optional(plotSizeSchema),
  /** When the first harvest is meant to be; sprays keep their pre-harvest interval from it. */
  harvestDay: z.optional(daySchema),
  /** Every layout that was drawn, in order; the last is the one in use. */
  draws: z.optional(z.array(z.extend(drawnSchema, { number }))),
  /** SHA-256 of the plan as it was sealed, and of which draw. */
  sealed: z.optional(z.object({ hash: sha256, day: daySchema, draw: z.optional(number) })),
});

export const trialSchema = z.object({
  format: z.literal('fairbed-trial'),
  version: z.literal(1),
  id,
  title: text,
  question: z.optional(text),
  /** Made up for a demonstration; every screen and report says so. */
  invented: z.optional(z.boolean()),
  note: z.optional(text),
  crop: z.optional(cropSchema),
  /** The target disease first; others that were scored on the same leaves after it. */
  diseases: z.array(diseaseSchema),
  garden: z.optional(gardenSchema),
  beds: z.array(bedSchema),
  treatments: z.array(treatmentSchema),
  /** The treatment that others are compared with. */
  control: z.optional(id),
  design: designSchema,
  blocks: z.array(z.object({ id, name: text, note: z.optional(text) })),
  plots: z.array(plotSchema),
  plants: z.array(
    z.object({
      id,
      plot: id,
      guard: z.optional(z.boolean()),
      lost: z.optional(lostSchema),
      note: z.optional(text),
    }),
  ),
  rounds: z.array(
    z.object({
      id,
      day: z.optional(daySchema),
      /** Days from any fixed start, where a sheet numbers its days in place of dating them. */
      at: z.optional(finite),
      name: z.optional(text),
      /** Were diseased leaves stripped at this round, alike in every plot? */
      stripping: z.optional(z.boolean()),
      blind: z.optional(z.boolean()),
      /** Its scorer said the round was finished. */
      done: z.optional(z.boolean()),
      /** Held before any treatment. */
      baseline: z.optional(z.boolean()),
      note: z.optional(text),
    }),
  ),
  scores: z.array(scoreSchema),
  gradeScale: z.optional(gradeScaleSchema),
  valueMeasure: z.optional(valueMeasureSchema),
  /** Days from the start to something that happens once to a plant or plot (or had not yet). */
  times: z.array(
    z.object({
      plot: id,
      plant: z.optional(id),
      event: z.enum(['first-symptom', 'clean', 'heading', 'harvest', 'other']),
      days: finite.check(z.gte(0)),
      happened: z.boolean(),
    }),
  ),
  sprays: z.array(spraySchema),
  events: z.array(eventSchema),
  harvests: z.array(harvestSchema),
  plan: z.optional(planSchema),
  /** When the scorer was told which code is which treatment. */
  reveal: z.optional(revealSchema),
  /** What was done otherwise than the sealed plan says, in the order it happened. */
  departures: z.optional(z.array(z.object({ code: id, day: z.optional(daySchema), what: text }))),
  /** Plants (or whole plots) left out of a round on purpose, and why. */
  skipped: z.optional(z.array(z.object({ plot: id, plant: z.optional(id), round: id, why: text }))),
  /** Photos, each by the SHA-256 of its bytes. */
  photos: z.optional(z.array(z.extend(photoSchema, { hash: sha256 }))),
  notes: z.optional(z.array(z.extend(noteSchema, { id }))),
});

export type Trial = z.infer<typeof trialSchema>;
export type Treatment = Trial['treatments'][number];
export type Plot = Trial['plots'][number];
export type Round = Trial['rounds'][number];
export type Score = Trial['scores'][number];
export type DesignKind = Trial['design']['kind'];
export type LossCause = z.infer<typeof lossCauseSchema>;
export type Departure = NonNullable<Trial['departures']>[number];
