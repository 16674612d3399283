import { type Day, readDay } from '@fairbed/field';
import { z } from 'zod/mini';

/**
 * The trial document, version 1: the shape every screen, file and analysis of Fairbed agrees on.
 * docs/trial-format.md explains it for people. Lists are flat and refer to each other by id, so
 * that one entry can be added or corrected without touching another.
 *
 * Not every part is filled by a spreadsheet; what is unknown is left out, never invented.
 */

const id = z.string().check(z.minLength(1), z.maxLength(200));
const text = z.string().check(z.maxLength(10_000));
const finite = z.number().check(z.refine((n) => Number.isFinite(n), 'must be a number'));
const count = z.number().check(z.int(), z.gte(0), z.lte(1_000_000));
const percent = z.number().check(z.gte(0), z.lte(100));
export const daySchema = z.pipe(
  z.string().check(z.refine((s) => readDay(s) !== undefined, 'must be a day such as 2026-05-04')),
  z.transform((s) => s as Day),
);

const treatmentSchema = z.object({
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
  rate: z.optional(z.object({ amount: finite, unit: text })),
  modeOfAction: z.optional(text),
  /** What a practice changes: spacing, watering hour, leaf removal ... and to what. */
  practice: z.optional(z.object({ what: text, value: text })),
  cultivar: z.optional(text),
  note: z.optional(text),
});

const designSchema = z.object({
  kind: z.enum([
    'completely-randomised',
    'randomised-blocks',
    'latin-square',
    'split-plot',
    'incomplete-blocks',
    'unreplicated',
  ]),
  /** Seed of the draw, where Fairbed drew it. */
  seed: z.optional(z.number()),
  /** False when the grower says the places were chosen, not drawn; absent when nobody said. */
  randomised: z.optional(z.boolean()),
});

const plotSchema = z.object({
  id,
  /** What the stake says. */
  code: z.optional(text),
  treatment: id,
  block: z.optional(id),
  row: z.optional(id),
  column: z.optional(id),
  wholePlot: z.optional(id),
  /** Place in the bed, metres from its south-west corner; x to the east, y to the north. */
  place: z.optional(z.object({ bed: id, x: finite, y: finite, width: finite, height: finite })),
  lost: z.optional(z.object({ day: z.optional(daySchema), why: text })),
});

const lossCause = z.enum([
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
  lost: z.optional(z.array(z.object({ leaves: count, why: lossCause }))),
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

export const trialSchema = z.object({
  format: z.literal('fairbed-trial'),
  version: z.literal(1),
  id,
  title: text,
  question: z.optional(text),
  /** Made up for a demonstration; every screen and report says so. */
  invented: z.optional(z.boolean()),
  note: z.optional(text),
  crop: z.optional(z.object({ name: text, scientificName: z.optional(text) })),
  /** The target disease first; others that were scored on the same leaves after it. */
  diseases: z.array(z.object({ id, name: text, scientificName: z.optional(text) })),
  garden: z.optional(z.object({ name: text, place: z.optional(text) })),
  beds: z.array(z.object({ id, name: text, width: finite, height: finite })),
  treatments: z.array(treatmentSchema),
  /** The treatment that others are compared with. */
  control: z.optional(id),
  design: designSchema,
  blocks: z.array(z.object({ id, name: text, note: z.optional(text) })),
  plots: z.array(plotSchema),
  plants: z.array(
    z.object({ id, plot: id, guard: z.optional(z.boolean()), note: z.optional(text) }),
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
      note: z.optional(text),
    }),
  ),
  scores: z.array(scoreSchema),
  gradeScale: z.optional(
    z.object({
      classes: z.array(finite).check(z.minLength(2)),
      /** The class that means no disease: the first or the last of `classes`. */
      healthy: finite,
    }),
  ),
  valueMeasure: z.optional(
    z.object({ name: text, unit: z.optional(text), better: z.enum(['lower', 'higher']) }),
  ),
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
  sprays: z.array(
    z.object({
      day: daySchema,
      treatment: id,
      plots: z.optional(z.array(id)),
      activeIngredient: z.optional(text),
      rate: z.optional(z.object({ amount: finite, unit: text })),
      note: z.optional(text),
    }),
  ),
  events: z.array(
    z.object({
      day: daySchema,
      kind: z.enum(['storm', 'hail', 'frost', 'flood', 'drought', 'irrigation', 'pest', 'other']),
      plots: z.optional(z.array(id)),
      note: z.optional(text),
    }),
  ),
  harvests: z.array(
    z.object({
      day: daySchema,
      plot: id,
      plant: z.optional(id),
      grams: z.optional(finite),
      pieces: z.optional(count),
      note: z.optional(text),
    }),
  ),
  plan: z.optional(
    z.object({
      /** Main outcome, by its id (docs/measures.md). */
      outcome: z.optional(id),
      /** Smallest difference worth having: percent less disease than the control. */
      smallestDifferencePercent: z.optional(percent),
      /** Treatment of every plot was unknown to the scorer. */
      blind: z.optional(z.boolean()),
    }),
  ),
});

export type Trial = z.infer<typeof trialSchema>;
export type Treatment = Trial['treatments'][number];
export type Plot = Trial['plots'][number];
export type Round = Trial['rounds'][number];
export type Score = Trial['scores'][number];
export type DesignKind = Trial['design']['kind'];
export type LossCause = z.infer<typeof lossCause>;
