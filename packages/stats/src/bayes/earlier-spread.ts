import { digamma } from '../distributions/gamma-function';
import { tCdf, tQuantile } from '../distributions/student';
import { ModelError } from '../mixed/design';

/** Standard deviation between like plots that a trial found, and the degrees of freedom behind it. */
export type FoundSpread = { readonly sd: number; readonly df: number };

/** What earlier trials let expect of the next one's spread between plots. */
export type ExpectedSpread = FoundSpread & {
  readonly trials: number;
  /** Standard deviation of the logarithm of the spread from trial to trial, as taken here. */
  readonly between: number;
};

/** Derivative of digamma: Abramowitz & Stegun 6.4.12 after shifting to x >= 12 (6.4.6). */
const trigamma = (x: number): number => {
  let shift = 0;
  let y = x;
  while (y < 12) {
    shift += 1 / (y * y);
    y += 1;
  }
  const r = 1 / (y * y);
  return shift + (1 + (0.5 + (1 / 6 - r * (1 / 30 - r * (1 / 42 - r / 30))) / y) / y) / y;
};

/** Variance of the logarithm of a standard deviation estimated on `df` degrees of freedom. */
const logVariance = (df: number): number => trigamma(df / 2) / 4;
/** Mean of that logarithm less that of the true one. */
const logBias = (df: number): number => (digamma(df / 2) - Math.log(df / 2)) / 2;

/** Degrees of freedom whose `logVariance` is `variance`, by bisection on a logarithmic scale. */
const freedomOf = (variance: number): number => {
  let low = Math.log(1e-2);
  let high = Math.log(1e7);
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (logVariance(Math.exp(middle)) > variance) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
};

/**
 * How much the spread of one trial differs from another's before anything is known: 0.3 on the
 * natural logarithm (two trials in three within a factor of 1.35 of the middle), with the weight of
 * four trials. Our choice, no source.
 */
const USUAL_BETWEEN = { sd: 0.3, trials: 4 };

/**
 * Joins the spreads that earlier trials found into what is expected of the next: log-spreads, freed
 * of their bias, averaged by random effects (method of moments, DerSimonian & Laird 1986,
 * Controlled Clinical Trials 7:177), the variance between trials drawn towards a usual one; the
 * mean and variance of the next log-spread are then given as an estimate `sd` on `df` degrees of
 * freedom that has the same two. One trial alone never counts for its full degrees of freedom:
 * the next trial's spread need not be the same.
 *
 * @throws ModelError when there is none, or one with an impossible figure.
 */
export const expectedSpread = (found: readonly FoundSpread[]): ExpectedSpread => {
  if (found.length === 0) throw new ModelError('no earlier trial');
  for (const { sd, df } of found) {
    if (!(sd > 0 && Number.isFinite(sd) && df > 0 && Number.isFinite(df))) {
      throw new ModelError(
        `an earlier spread must be above 0 on degrees of freedom above 0; got ${sd} on ${df}`,
      );
    }
  }
  const logs = found.map(({ sd, df }) => Math.log(sd) - logBias(df));
  const own = found.map(({ df }) => logVariance(df));
  const extra = found.length - 1;
  const moments = extra === 0 ? 0 : betweenByMoments(logs, own);
  const { sd: usual, trials } = USUAL_BETWEEN;
  const between = (trials * usual * usual + extra * moments) / (trials + extra);
  const weights = own.map((v) => 1 / (v + between));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = logs.reduce((sum, log, i) => sum + weights[i] * log, 0) / total;
  const df = freedomOf(between + 1 / total);
  return {
    sd: Math.exp(mean + logBias(df)),
    df,
    trials: found.length,
    between: Math.sqrt(between),
  };
};

const betweenByMoments = (logs: readonly number[], own: readonly number[]): number => {
  const weights = own.map((v) => 1 / v);
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = logs.reduce((sum, log, i) => sum + weights[i] * log, 0) / total;
  const q = logs.reduce((sum, log, i) => sum + weights[i] * (log - mean) ** 2, 0);
  const squares = weights.reduce((sum, w) => sum + w * w, 0);
  return Math.max(0, (q - (logs.length - 1)) / (total - squares / total));
};

/** A difference of two single plots, as far as a spread from elsewhere tells. */
export type LeaningDifference = {
  readonly low: number;
  readonly high: number;
  /** Chance that the true difference lies on the side that was seen. */
  readonly chance: number;
};

/**
 * 95 % limits of the difference between two treatments with one plot each, given a spread between
 * like plots from elsewhere: Student's t of the difference over sd sqrt(2) on its degrees of
 * freedom. The chance is the posterior one with nothing believed of the difference beforehand.
 * Both hold only as far as the spread holds for these plots.
 */
export const leaningDifference = (difference: number, spread: FoundSpread): LeaningDifference => {
  const se = spread.sd * Math.SQRT2;
  const reach = tQuantile(0.975, spread.df) * se;
  return {
    low: difference - reach,
    high: difference + reach,
    chance: tCdf(Math.abs(difference) / se, spread.df),
  };
};
