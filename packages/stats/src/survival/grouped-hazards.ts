import {
  type MixedFitParts,
  mixedFitParts,
  type Threshold,
  thresholdTable,
} from '../mixed/coefficients';
import {
  fixedDesign,
  type FixedEffects,
  groupTerms,
  ModelError,
  type RandomGrouping,
} from '../mixed/design';
import { fitEngine } from '../mixed/engine';
import { gaussHermite } from '../mixed/gauss-hermite';
import type { Between } from './cells';
import { type ClassRuns, groupedHazardsLikelihood } from './grouped-hazards-likelihood';
import { turnbull, type TurnbullStep } from './turnbull';

export type GroupedHazardsInput = Between & {
  readonly fixed: FixedEffects;
  /** None gives the plain model. */
  readonly random: readonly RandomGrouping[];
  /** With one grouping: adaptive Gauss-Hermite quadrature in place of Laplace. */
  readonly quadraturePoints?: number | undefined;
};

export type GroupedHazardsFit = MixedFitParts & {
  readonly model: 'grouped-hazards-mixed';
  /** Stretches of days that the curve falls in, the classes of the model. */
  readonly steps: readonly TurnbullStep[];
  /** Logarithm of the summed hazards after each step but the last, at an effect of zero. */
  readonly thresholds: readonly Threshold[];
  /** Of thresholds, then coefficients, row-major. */
  readonly covariance: Float64Array | undefined;
  readonly input: GroupedHazardsInput;
};

/** Half the weight in the first class, half in the last, for each pseudo-row. */
const pseudoRuns = (classes: number) => (rows: number, weight: number) => {
  const at = Array.from({ length: 2 * rows }, (_, i) => (i < rows ? 0 : classes - 1));
  return groupedHazardsLikelihood(
    { first: at, last: at },
    classes,
    new Float64Array(2 * rows).fill(weight),
  );
};

/**
 * Proportional hazards of days known to lie between two looks, with random intercepts: the
 * complementary log-log model of person-intervals (Prentice & Gloeckler 1978, Biometrics 34:57-67),
 * intervals of any length and overlap, its baseline free on the stretches on which Turnbull's curve
 * of all rows falls. Maximum likelihood, Laplace. A positive effect (`fixed`: the logarithm of a
 * hazard ratio) means earlier.
 *
 * With rounds alike for all rows these stretches are the rounds in which anything happened, and
 * the maximum is that of the whole model; with intervals that overlap it is the maximum over
 * baselines that fall where the common curve falls.
 *
 * Throws ModelError on impossible codes, and where all rows may have been at one time.
 */
export const fitGroupedHazards = (input: GroupedHazardsInput): GroupedHazardsFit => {
  const rows = input.left.length;
  const curve = turnbull(input);
  const steps = curve?.steps ?? [];
  if (curve === undefined || steps.length < 2) {
    throw new ModelError(`all ${rows} rows may have been at one time: there is nothing to compare`);
  }
  const kept = Array.from({ length: rows }, (_, i) => i);
  const design = fixedDesign(input.fixed, rows, kept, false);
  const groupings = groupTerms(input.random, rows, kept);
  const runs: ClassRuns = curve.within;
  const points = input.quadraturePoints ?? 1;
  const fit = fitEngine({
    rule: points === 1 ? undefined : gaussHermite(points),
    likelihood: groupedHazardsLikelihood(runs, steps.length),
    design,
    terms: groupings.terms,
    shape: {
      start: Float64Array.from(steps.slice(0, -1), ({ survival }) => Math.log(-Math.log(survival))),
      names: steps.slice(0, -1).map((_, k) => `threshold ${k}`),
      even: false,
    },
    pseudo: pseudoRuns(steps.length),
  });
  return {
    model: 'grouped-hazards-mixed',
    ...mixedFitParts(fit, groupings),
    steps,
    thresholds: thresholdTable(
      fit,
      steps.slice(0, -1).map((_, k) => k),
    ),
    covariance: fit.covariance,
    input,
  };
};
