import { type MixedFitParts, mixedFitParts, type Threshold, thresholdTable } from './coefficients';
import {
  fixedDesign,
  type FixedEffects,
  groupTerms,
  ModelError,
  type RandomGrouping,
} from './design';
import { fitEngine } from './engine';
import { gaussHermite } from './gauss-hermite';
import { ordinalLikelihood } from './ordinal-likelihood';

export type OrdinalMixedInput = {
  /** Grade of each row, 0 to classes - 1, worse upward or downward as the caller likes. */
  readonly grades: ArrayLike<number>;
  readonly classes: number;
  readonly fixed: FixedEffects;
  /** None gives the plain cumulative logit model. */
  readonly random: readonly RandomGrouping[];
  readonly quadraturePoints?: number | undefined;
};

export type OrdinalMixedFit = MixedFitParts & {
  readonly model: 'cumulative-logit-mixed';
  /** logit P(grade <= upTo) at an effect of zero. */
  readonly thresholds: readonly Threshold[];
  /** Of thresholds, then coefficients, row-major. */
  readonly covariance: Float64Array | undefined;
  /** Classes that occur; the model is fitted on these. */
  readonly classesUsed: readonly number[];
  /** Classes no row has: each has no threshold of its own. */
  readonly classesEmpty: readonly number[];
  readonly rows: number;
  readonly input: OrdinalMixedInput;
};

const countGrades = (grades: ArrayLike<number>, classes: number): number[] => {
  const count = Array.from({ length: classes }, () => 0);
  for (let i = 0; i < grades.length; i++) {
    const g = grades[i];
    if (!Number.isInteger(g) || g < 0 || g >= classes) {
      throw new ModelError(`row ${i}: grade must be 0 to ${classes - 1}; got ${g}`);
    }
    count[g]++;
  }
  return count;
};

/** Thresholds that give the overall shares of the classes. */
const startingThresholds = (counts: readonly number[]): Float64Array => {
  const total = counts.reduce((a, b) => a + b, 0);
  let below = 0;
  return Float64Array.from(counts.slice(0, -1), (c) => {
    below += c;
    return Math.log(below / (total - below));
  });
};

/** Half the weight in the lowest class, half in the highest, for each pseudo-row. */
const pseudoGrades = (classes: number) => (rows: number, weight: number) =>
  ordinalLikelihood(
    Array.from({ length: 2 * rows }, (_, i) => (i < rows ? 0 : classes - 1)),
    classes,
    new Float64Array(2 * rows).fill(weight),
  );

/**
 * Cumulative logit model with random intercepts: logit P(Y <= k) = threshold_k - effect, free
 * thresholds, so that a positive effect means higher grades. Maximum likelihood by the Laplace
 * approximation or, with one grouping, adaptive Gauss-Hermite quadrature. Classes that never occur
 * are left out (`classesEmpty`). Throws ModelError on impossible grades or codes, and when all rows
 * are of one class.
 */
export const fitOrdinalMixed = (input: OrdinalMixedInput): OrdinalMixedFit => {
  const { grades, classes } = input;
  const counts = countGrades(grades, classes);
  const used = counts.flatMap((c, k) => (c > 0 ? [k] : []));
  if (used.length < 2) {
    throw new ModelError(`all ${grades.length} rows have one grade: there is nothing to compare`);
  }
  const place = counts.map((_, k) => used.indexOf(k));
  const kept = Array.from({ length: grades.length }, (_, i) => i);
  const design = fixedDesign(input.fixed, grades.length, kept, false);
  const groupings = groupTerms(input.random, grades.length, kept);
  const points = input.quadraturePoints ?? 1;
  const fit = fitEngine({
    likelihood: ordinalLikelihood(
      Int32Array.from(kept, (i) => place[grades[i]]),
      used.length,
    ),
    design,
    terms: groupings.terms,
    rule: points === 1 ? undefined : gaussHermite(points),
    shape: {
      start: startingThresholds(used.map((k) => counts[k])),
      names: used.slice(0, -1).map((k) => `threshold ${k}`),
      even: false,
    },
    pseudo: pseudoGrades(used.length),
  });
  return {
    model: 'cumulative-logit-mixed',
    ...mixedFitParts(fit, groupings),
    thresholds: thresholdTable(fit, used.slice(0, -1)),
    covariance: fit.covariance,
    classesUsed: used,
    classesEmpty: counts.flatMap((c, k) => (c === 0 ? [k] : [])),
    rows: grades.length,
    input,
  };
};
