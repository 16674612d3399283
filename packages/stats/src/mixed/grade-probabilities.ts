import { normalQuantile } from '../distributions/normal';
import { dot, quadratic } from './dense';
import { logistic } from './likelihood';
import type { OrdinalMixedFit } from './ordinal-mixed';
import { levelFunctions } from './treatment-levels';

/** An estimate with its standard error and symmetric interval. */
export type GradeEstimate = {
  readonly estimate: number;
  readonly se: number;
  readonly low: number;
  readonly high: number;
};

/** What one treatment does to the grades, for a typical group (all group effects zero). */
export type LevelGrades = {
  readonly level: string;
  /** Effect less the mean threshold: above zero, grades lean to the upper half. */
  readonly latent: GradeEstimate;
  /** Mean grade, in the caller's grade numbers. */
  readonly meanGrade: GradeEstimate;
  /** Probability of each grade that occurs; `inside` has limits made on the logit, so within 0 to 1. */
  readonly probabilities: readonly (GradeEstimate & {
    readonly grade: number;
    readonly inside: { readonly low: number; readonly high: number };
  })[];
};

const REACH = normalQuantile(0.025, 'upper');

/** Limits `half` standard errors either side on the logit, by the delta method. */
const insideLimits = (estimate: number, half: number): { low: number; high: number } => {
  if (!(estimate > 0 && estimate < 1)) return { low: estimate, high: estimate };
  const logit = Math.log(estimate / (1 - estimate));
  const reach = half / (estimate * (1 - estimate));
  return { low: logistic(logit - reach), high: logistic(logit + reach) };
};

/** Slopes over (thresholds, coefficients) of P(Y <= k) at the level with the weights given. */
const cumulative = (thresholds: Float64Array, effect: number, weights: Float64Array) =>
  Array.from(thresholds, (t, k) => {
    const p = logistic(t - effect);
    const f = p * logistic(effect - t);
    const slope = new Float64Array(thresholds.length + weights.length);
    slope[k] = f;
    weights.forEach((w, j) => (slope[thresholds.length + j] = -f * w));
    return { p, slope };
  });

/**
 * Least-squares grades of each level of the first factor: latent mean, mean grade and probability
 * of each class, standard errors by the delta method over thresholds and coefficients jointly.
 * Intervals are `reach` standard errors either side: 1.96 unless told.
 * Undefined when the design is a matrix, when columns were dropped or without standard errors.
 */
export const leastSquaresGrades = (
  fit: OrdinalMixedFit,
  reach = REACH,
): LevelGrades[] | undefined => {
  const { covariance } = fit;
  const levels = levelFunctions(fit.input.fixed, fit.fixed, fit.dropped, () => true);
  if (!levels || !covariance) return undefined;
  const beta = Float64Array.from(fit.fixed, (c) => c.estimate);
  const thresholds = Float64Array.from(fit.thresholds, (t) => t.estimate);
  const m = thresholds.length;
  const zero = new Float64Array(m + beta.length);
  const around = (estimate: number, slope: Float64Array): GradeEstimate => {
    const se = Math.sqrt(quadratic(slope, covariance, slope));
    return { estimate, se, low: estimate - reach * se, high: estimate + reach * se };
  };
  return levels.map(({ level, weights }) => {
    const effect = dot(weights, beta);
    const steps = cumulative(thresholds, effect, weights);
    const classes = fit.classesUsed.map((grade, k) => {
      const upper = k < m ? steps[k] : { p: 1, slope: zero };
      const lower = k > 0 ? steps[k - 1] : { p: 0, slope: zero };
      return { grade, p: upper.p - lower.p, slope: upper.slope.map((v, i) => v - lower.slope[i]) };
    });
    const latentSlope = zero.map((_, i) => (i < m ? -1 / m : weights[i - m]));
    const meanThreshold = thresholds.reduce((a, b) => a + b, 0) / m;
    const meanSlope = zero.map((_, i) => classes.reduce((sum, c) => sum + c.grade * c.slope[i], 0));
    return {
      level,
      latent: around(effect - meanThreshold, latentSlope),
      meanGrade: around(
        classes.reduce((sum, c) => sum + c.grade * c.p, 0),
        meanSlope,
      ),
      probabilities: classes.map(({ grade, p, slope }) => {
        const share = around(p, slope);
        return { grade, ...share, inside: insideLimits(p, reach * share.se) };
      }),
    };
  });
};
