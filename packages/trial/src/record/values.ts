import { z } from 'zod/mini';
import {
  bedSchema,
  cropSchema,
  daySchema,
  designKindSchema,
  diseaseSchema,
  drawnSchema,
  eventSchema,
  finiteSchema,
  gardenSchema,
  gradeScaleSchema,
  harvestSchema,
  idSchema,
  judgedBySchema,
  looksPlanSchema,
  lostSchema,
  noteSchema,
  percentSchema,
  photoSchema,
  placeSchema,
  plotSizeSchema,
  revealSchema,
  roundsPlanSchema,
  spraySchema,
  textSchema,
  treatmentSchema,
  valueMeasureSchema,
} from '../schema';

/**
 * The values that entries of a trial may have, kind by kind. Fields that this version does not
 * know are let through and not read: a newer device may have written them.
 */

const safeId = idSchema.check(
  z.refine((id) => id !== '__proto__', 'must be a name other than __proto__'),
);

/** A list of things with an id, each id once. */
const listOf = <T extends { readonly id: string }>(shape: z.ZodMiniType<T>) =>
  z.array(shape).check(
    z.maxLength(1000),
    z.refine(
      (list) =>
        new Set(list.map(({ id }) => id)).size === list.length &&
        list.every(({ id }) => id !== '__proto__'),
      'must be a list in which each id stands once',
    ),
  );

const small = z.number().check(z.int(), z.gte(1), z.lte(1000));

/** The request of a layout, as {@link drawLayout} takes it. */
export const requestSchema = z.object({
  kind: designKindSchema,
  treatments: z.optional(z.array(safeId)),
  control: z.optional(safeId),
  /** Plots of the control in each block. */
  controlPlots: z.optional(small),
  /** Blocks; replicates where the design has none. */
  blocks: z.optional(small),
  /** Completely randomised: plots of each treatment, in their order. */
  replicates: z.optional(z.array(small)),
  /** Plots in a block that can't hold all treatments. */
  perBlock: z.optional(small),
  /** Split plot: the treatments that go together on one whole plot. */
  wholePlots: z.optional(z.array(z.object({ id: safeId, treatments: z.array(safeId) }))),
});

const scale = gradeScaleSchema.check(
  z.refine(
    ({ classes, healthy }) =>
      new Set(classes).size === classes.length &&
      (healthy === classes[0] || healthy === classes[classes.length - 1]),
    'must be classes that stand once each, the healthy one at an end',
  ),
);

const length = finiteSchema.check(z.gte(0), z.lte(100_000));

/** The fields of a plan and the shape of each. */
export const planShapes = {
  title: textSchema,
  question: textSchema,
  note: textSchema,
  crop: cropSchema,
  diseases: listOf(diseaseSchema),
  garden: gardenSchema,
  treatments: listOf(treatmentSchema),
  control: safeId,
  beds: listOf(bedSchema),
  design: requestSchema,
  outcome: safeId,
  /** Smallest difference worth having, percent less disease than the control. */
  worthHaving: percentSchema,
  rounds: roundsPlanSchema,
  looks: looksPlanSchema,
  /** `all-diseased`, `none`, or what is stripped in words. */
  stripping: textSchema,
  judgedBy: judgedBySchema,
  method: textSchema,
  plantsPerPlot: z.number().check(z.int(), z.gte(1), z.lte(1000)),
  plotSize: plotSizeSchema,
  /** When the first harvest is meant to be. */
  harvestDay: daySchema,
  /** Metres between plants, or between plants in a row and between rows. */
  spacing: z.union([length, z.object({ inRow: length, betweenRows: length })]),
  /** Metres between plots, and of guard strip inside the edge of a plot. */
  buffer: length,
  edge: length,
  /** False where the scorer knows the treatments in spite of the codes. */
  blind: z.boolean(),
  gradeScale: scale,
  valueMeasure: valueMeasureSchema,
} as const;
export type PlanField = keyof typeof planShapes;
export const planFields = Object.keys(planShapes) as readonly PlanField[];
export const isPlanField = (name: string): name is PlanField => Object.hasOwn(planShapes, name);
export type PlanValues = { readonly [F in PlanField]?: z.infer<(typeof planShapes)[F]> };

export const layoutPlotSchema = z.object({
  plot: safeId,
  code: textSchema.check(z.minLength(1), z.maxLength(40)),
  treatment: safeId,
  block: z.optional(safeId),
  row: z.optional(safeId),
  column: z.optional(safeId),
  wholePlot: z.optional(safeId),
  place: z.optional(placeSchema),
});

const once = (list: readonly string[]): boolean => new Set(list).size === list.length;

const layout = z.array(layoutPlotSchema).check(
  z.maxLength(10_000),
  z.refine((plots) => once(plots.map(({ plot }) => plot)), 'must be plots that stand once each'),
  z.refine((plots) => once(plots.map(({ code }) => code)), 'must be plots with a code each'),
);

export const drawSchema = z.extend(drawnSchema, { layout, request: requestSchema });
export type Draw = z.infer<typeof drawSchema>;

export const sealSchema = z.object({
  hash: z.string().check(z.regex(/^[0-9a-f]{64}$/, 'must be 64 hexadecimal digits')),
  day: daySchema,
  /** What {@link frozenPlan} gave when the plan was sealed. */
  plan: z.record(z.string(), z.unknown()),
});
export type Seal = z.infer<typeof sealSchema>;

export const roundSchema = z.object({
  day: daySchema,
  name: z.optional(textSchema),
  stripping: z.optional(z.boolean()),
  done: z.optional(z.boolean()),
  blind: z.optional(z.boolean()),
  /** Held before any treatment; may be scored before the plan is sealed. */
  baseline: z.optional(z.boolean()),
  note: z.optional(textSchema),
});

export type RoundValue = z.infer<typeof roundSchema>;

export const plantSchema = z.object({
  guard: z.optional(z.boolean()),
  lost: z.optional(lostSchema),
  note: z.optional(textSchema),
});

export {
  eventSchema,
  harvestSchema,
  lostSchema,
  noteSchema,
  photoSchema,
  revealSchema,
  spraySchema,
};
