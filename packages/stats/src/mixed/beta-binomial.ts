import { betaBinomialLikelihood } from './beta-binomial-likelihood';
import { binomialLikelihood } from './binomial-likelihood';
import { type MixedFitParts, mixedFitParts } from './coefficients';
import { type Counts, pick, usableRows } from './counts';
import { fixedDesign, type FixedEffects, groupTerms, type RandomGrouping } from './design';
import { coefficientCovariance, fitEngine } from './engine';
import { gaussHermite } from './gauss-hermite';
import type { Likelihood } from './likelihood';

export type BetaBinomialInput = Counts & {
  readonly fixed: FixedEffects;
  /** Groupings with a random intercept (Laplace, or quadrature with one grouping). */
  readonly random?: readonly RandomGrouping[] | undefined;
  readonly quadraturePoints?: number | undefined;
};

export type BetaBinomialFit = MixedFitParts & {
  readonly model: 'beta-binomial';
  readonly covariance: Float64Array | undefined;
  /**
   * phi = alpha + beta: variance n m (1 - m) (1 + (n - 1) / (phi + 1)). Undefined when the best fit
   * has no overdispersion at all (the binomial).
   */
  readonly precision: number | undefined;
  readonly precisionSe: number | undefined;
  /** Correlation of two leaves of one row, 1 / (phi + 1); zero for the binomial. */
  readonly correlation: number;
  readonly rows: number;
  readonly input: BetaBinomialInput;
};

/** Start: correlation 0.1, a common size among leaves of a plot. */
const START_ROOT = 1 / 3;

/**
 * Pseudo-counts of one leaf a row, where overdispersion has no meaning, and log(1 - correlation):
 * counts all diseased or all healthy fit a correlation of one best, whatever the mean.
 */
const pseudoCounts = (rows: number, weight: number): Likelihood => {
  const w = new Float64Array(rows).fill(weight);
  const counts = binomialLikelihood(
    w,
    w.map((v) => 2 * v),
    false,
  );
  return {
    rows,
    shapes: 1,
    evaluate: (eta, shape, curves) =>
      counts.evaluate(eta, shape, curves) - Math.log1p(shape[0] ** 2),
    addShapeGradient: (_eta, shape, _weights, gradient) => {
      gradient[0] -= (2 * shape[0]) / (1 + shape[0] ** 2);
    },
  };
};

/**
 * Beta-binomial regression, logit mean and one precision for all rows, by maximum likelihood;
 * random intercepts by the Laplace approximation with observed curvature. See
 * `betaBinomialLikelihood` for the form used. Throws ModelError on impossible counts or codes.
 */
export const fitBetaBinomial = (input: BetaBinomialInput): BetaBinomialFit => {
  const kept = usableRows(input);
  const y = pick(input.successes, kept);
  const n = pick(input.trials, kept);
  const design = fixedDesign(input.fixed, input.trials.length, kept, true);
  const groupings = groupTerms(input.random ?? [], input.trials.length, kept);
  const points = input.quadraturePoints ?? 1;
  const fit = fitEngine({
    likelihood: betaBinomialLikelihood(y, n),
    design,
    terms: groupings.terms,
    rule: points === 1 ? undefined : gaussHermite(points),
    shape: { start: Float64Array.of(START_ROOT), names: ['overdispersion'], even: true },
    pseudo: pseudoCounts,
  });
  const root = fit.shape[0];
  const precision = root > 0 ? root ** -2 : undefined;
  const rootSe = fit.covariance ? Math.sqrt(fit.covariance[0]) : undefined;
  return {
    model: 'beta-binomial',
    ...mixedFitParts(fit, groupings),
    covariance: coefficientCovariance(fit),
    precision,
    precisionSe: precision && rootSe ? (2 * rootSe * precision) / root : undefined,
    correlation: precision ? 1 / (precision + 1) : 0,
    rows: kept.length,
    input,
  };
};
