import { normalQuantile } from '../distributions/normal';
import { tQuantile } from '../distributions/student';
import type { BetaBinomialFit } from './beta-binomial';
import type { BinomialMixedFit } from './binomial-mixed';
import { waldP } from './coefficients';
import { dot, quadratic } from './dense';
import { logistic } from './likelihood';
import { type LevelFunction, levelFunctions } from './treatment-levels';

/** A treatment's probability for a typical group (all group effects zero). */
export type LevelProbability = {
  readonly level: string;
  readonly logit: number;
  /** Of the logit. */
  readonly se: number;
  readonly probability: number;
  /** Of the probability, by the delta method. */
  readonly probabilitySe: number;
  readonly low: number;
  readonly high: number;
};

/** `a` against `b`: log odds ratio and difference of probabilities, not adjusted for many pairs. */
export type ProbabilityContrast = {
  readonly a: string;
  readonly b: string;
  readonly logOddsRatio: number;
  readonly se: number;
  readonly p: number | undefined;
  readonly difference: number;
  readonly differenceSe: number;
};

export type CountFit = BinomialMixedFit | BetaBinomialFit;

type Known = { levels: LevelFunction[]; beta: Float64Array; covariance: Float64Array };

const known = (fit: CountFit): Known | undefined => {
  const { input, covariance } = fit;
  const usable = (row: number) => input.trials[row] > 0;
  const levels = levelFunctions(input.fixed, fit.fixed, fit.dropped, usable);
  if (!levels || !covariance) return undefined;
  return { levels, beta: Float64Array.from(fit.fixed, (c) => c.estimate), covariance };
};

export type ProbabilityOptions = {
  /** 0.95 by default. */
  readonly confidence?: number | undefined;
  /** Finite: Student's t in place of the normal. */
  readonly df?: number | undefined;
  /** What limits are widened by (`plotWidening`); standard errors stay the model's. */
  readonly widened?: number | undefined;
};

/**
 * Least-squares probability of each level of the first factor (the treatment), with an interval
 * made on the logit scale and carried over. Other factors are averaged evenly. Undefined when the design is
 * a matrix, when columns were dropped, or when there are no standard errors.
 */
export const leastSquaresProbabilities = (
  fit: CountFit,
  options: ProbabilityOptions = {},
): LevelProbability[] | undefined => {
  const all = known(fit);
  if (!all) return undefined;
  const tail = (1 - (options.confidence ?? 0.95)) / 2;
  const df = options.df ?? Infinity;
  const quantile = Number.isFinite(df)
    ? tQuantile(tail, df, 'upper')
    : normalQuantile(tail, 'upper');
  const reach = quantile * (options.widened ?? 1);
  return all.levels.map(({ level, weights }) => {
    const logit = dot(weights, all.beta);
    const se = Math.sqrt(quadratic(weights, all.covariance, weights));
    const probability = logistic(logit);
    return {
      level,
      logit,
      se,
      probability,
      probabilitySe: se * probability * logistic(-logit),
      low: logistic(logit - reach * se),
      high: logistic(logit + reach * se),
    };
  });
};

/** All pairs of levels of the first factor, in level order; undefined as above. */
export const probabilityContrasts = (fit: CountFit): ProbabilityContrast[] | undefined => {
  const all = known(fit);
  if (!all) return undefined;
  const spread = (w: Float64Array) => Math.sqrt(quadratic(w, all.covariance, w));
  return all.levels.flatMap((a, i) =>
    all.levels.slice(i + 1).map((b) => {
      const weights = a.weights.map((v, k) => v - b.weights[k]);
      const logOddsRatio = dot(weights, all.beta);
      const se = spread(weights);
      const la = dot(a.weights, all.beta);
      const lb = dot(b.weights, all.beta);
      const slopeA = logistic(la) * logistic(-la);
      const slopeB = logistic(lb) * logistic(-lb);
      return {
        a: a.level,
        b: b.level,
        logOddsRatio,
        se,
        p: waldP(logOddsRatio, se),
        difference: logistic(la) - logistic(lb),
        differenceSe: spread(a.weights.map((v, k) => slopeA * v - slopeB * b.weights[k])),
      };
    }),
  );
};
