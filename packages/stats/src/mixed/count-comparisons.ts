import { fUpper } from '../distributions/fisher';
import type { BinomialMixedFit } from './binomial-mixed';
import { inversePositive, quadratic } from './dense';
import {
  type PlotDegrees,
  plotWidening,
  type Shift,
  type ShiftFit,
  type Shifts,
  shiftsVersusControl,
} from './few-plots';
import { gaussHermite } from './gauss-hermite';
import { logistic } from './likelihood';
import { leastSquaresProbabilities, type ProbabilityOptions } from './probabilities';

/** A treatment against the control, in log-odds of a typical plot and in probability. */
export type CountComparison = Shift & {
  /** Difference of the probabilities of a typical plot, treatment less control. */
  readonly difference: number;
  readonly differenceLow: number;
  readonly differenceHigh: number;
};

export type CountComparisons = Omit<Shifts, 'shifts'> & {
  readonly comparisons: readonly CountComparison[];
};

/** A Wald test of all treatments together. */
export type CountWald = {
  readonly f: number;
  readonly df1: number;
  readonly df2: number;
  readonly p: number;
};

/** The intercept stands where grades have their thresholds. Undefined for other designs. */
export const asShifts = (fit: BinomialMixedFit): ShiftFit | undefined => {
  const { fixed } = fit.input;
  const plain = 'factors' in fixed && fixed.factors.length === 1 && fit.dropped.length === 0;
  if (!plain || fit.fixed[0].name !== '(Intercept)' || fit.fixed.length < 2) return undefined;
  return {
    thresholds: [fit.fixed[0]],
    fixed: fit.fixed.slice(1),
    covariance: fit.covariance,
    groups: fit.groups,
  };
};

/** Weights of a difference of probabilities on the coefficients, at their estimates. */
const differenceWeights = (base: number, shift: number, j: number, size: number) => {
  const slope = (x: number) => logistic(x) * logistic(-x);
  const w = new Float64Array(size);
  w[0] = slope(base + shift) - slope(base);
  w[j] = slope(base + shift);
  return w;
};

/**
 * Every treatment against the control, in odds (`shiftsVersusControl`) and in probability. Differences of probability by the delta method with the
 * same quantile. Undefined unless the treatment is the only fixed factor and standard errors exist.
 *
 * @throws RangeError for degrees of freedom that are none.
 */
export const countsVersusControl = (
  fit: BinomialMixedFit,
  degrees: PlotDegrees,
  confidence = 0.95,
): CountComparisons | undefined => {
  const plain = asShifts(fit);
  const { covariance } = fit;
  const found = plain && shiftsVersusControl(plain, degrees, confidence);
  if (!found || !covariance) return undefined;
  const { shifts, ...how } = found;
  const base = fit.fixed[0].estimate;
  const comparisons = shifts.map((shift, i) => {
    const weights = differenceWeights(base, shift.estimate, i + 1, fit.fixed.length);
    const difference = logistic(base + shift.estimate) - logistic(base);
    const reach = ((shift.high - shift.estimate) / shift.se) * how.widened;
    const half = reach * Math.sqrt(quadratic(weights, covariance, weights));
    return {
      ...shift,
      difference,
      differenceLow: difference - half,
      differenceHigh: difference + half,
    };
  });
  return { ...how, comparisons };
};

/**
 * Wald test of all treatments together: b' C^-1 b over their number and the square of `plotWidening`,
 * against F with the layout's error degrees of freedom. Undefined as for `countsVersusControl`.
 */
export const countsWald = (fit: BinomialMixedFit, degrees: PlotDegrees): CountWald | undefined => {
  const shifts = asShifts(fit);
  const { covariance } = fit;
  if (!shifts || !covariance) return undefined;
  const size = fit.fixed.length;
  const m = size - 1;
  const part = Float64Array.from(
    { length: m * m },
    (_, k) => covariance[(1 + Math.floor(k / m)) * size + 1 + (k % m)],
  );
  const inverse = inversePositive(part, m);
  if (!inverse) return undefined;
  const b = Float64Array.from(shifts.fixed, ({ estimate }) => estimate);
  const f = quadratic(b, inverse, b) / m / plotWidening(shifts, degrees) ** 2;
  return { f, df1: m, df2: degrees.error, p: fUpper(f, m, degrees.error) };
};

/** Points of the rule over the groups' normal spread: error below 1e-8 for spreads up to 3 logits. */
const POINTS = 60;

/** logistic(logit + sd z) averaged over a standard normal z. */
const averaged = (sd: number) => {
  const rule = gaussHermite(POINTS);
  return (logit: number): number => {
    let sum = 0;
    for (let k = 0; k < rule.nodes.length; k++) {
      sum += rule.weights[k] * logistic(logit + Math.SQRT2 * sd * rule.nodes[k]);
    }
    return sum / Math.sqrt(Math.PI);
  };
};

/** A treatment's probability averaged over all plots there could be. */
export type PopulationProbability = {
  readonly level: string;
  readonly probability: number;
  readonly low: number;
  readonly high: number;
};

/**
 * Probability of each treatment averaged over blocks, plots and plants as the fit sees them spread,
 * nearer to one half than that of a typical plot (Zeger, Liang & Albert 1988, Biometrics
 * 44:1049-1060). Limits are those of the typical plot carried over, the spread taken as known.
 */
export const populationProbabilities = (
  fit: BinomialMixedFit,
  options: ProbabilityOptions = {},
): PopulationProbability[] | undefined => {
  const typical = leastSquaresProbabilities(fit, options);
  if (!typical) return undefined;
  const mean = averaged(Math.sqrt(fit.groups.reduce((sum, { sd }) => sum + sd * sd, 0)));
  const logitOf = (p: number) => Math.log(p / (1 - p));
  return typical.map(({ level, logit, low, high }) => ({
    level,
    probability: mean(logit),
    low: mean(logitOf(low)),
    high: mean(logitOf(high)),
  }));
};
