import { requireCount, requirePositive, requireProbability } from './arguments';
import { betaQuantile } from './beta';
import { deviancePart, logGamma, stirlingError } from './gamma-function';

const TWO_PI = 6.283185307179586476925286766559;

/**
 * P(X = successes) of a binomial with `trials` and chance p, to about 1e-13 relative however small
 * (Loader 2000, "Fast and accurate computation of binomial probabilities").
 */
export function binomialDensity(successes: number, trials: number, p: number): number {
  requireCount('trials', trials);
  requireCount('successes', successes);
  requireProbability('p', p);
  return binomialPoint(successes, trials, p);
}

function binomialPoint(x: number, n: number, p: number): number {
  const q = 1 - p;
  if (x > n) return 0;
  if (p === 0) return x === 0 ? 1 : 0;
  if (q === 0) return x === n ? 1 : 0;
  if (x === 0) return Math.exp(n * Math.log1p(-p));
  if (x === n) return Math.exp(n * Math.log(p));
  const exponent =
    stirlingError(n) -
    stirlingError(x) -
    stirlingError(n - x) -
    deviancePart(x, n * p) -
    deviancePart(n - x, n * q);
  return Math.exp(exponent) * Math.sqrt(n / (TWO_PI * x * (n - x)));
}

/** The share of `trials` with an exact interval around it. */
export type ExactInterval = { readonly lower: number; readonly upper: number };

/**
 * Exact interval of Clopper & Pearson (1934, Biometrika 26:404-413) for a proportion, equal tails,
 * by beta quantiles. `level` is the coverage, such as 0.95. Ends at 0 and 1 for no and all successes.
 * Throws a RangeError unless 0 <= successes <= trials, trials >= 1 and 0 < level < 1.
 */
export function clopperPearson(successes: number, trials: number, level: number): ExactInterval {
  requireCount('trials', trials, 1);
  requireCount('successes', successes);
  if (successes > trials) {
    throw new RangeError(`successes must not exceed trials (${trials}); got ${successes}`);
  }
  if (!(level > 0 && level < 1)) {
    throw new RangeError(`level must be between 0 and 1; got ${level}`);
  }
  const tail = (1 - level) / 2;
  const failures = trials - successes;
  return {
    lower: successes === 0 ? 0 : betaQuantile(tail, successes, failures + 1),
    upper: failures === 0 ? 1 : betaQuantile(tail, successes + 1, failures, 'upper'),
  };
}

/**
 * P(X = successes) of a beta-binomial: binomial whose chance is beta distributed with shapes a, b > 0.
 */
export function betaBinomialDensity(
  successes: number,
  trials: number,
  a: number,
  b: number,
): number {
  requireCount('trials', trials);
  requireCount('successes', successes);
  requirePositive('first shape', a);
  requirePositive('second shape', b);
  if (successes > trials) return 0;
  const failures = trials - successes;
  const choose = logGamma(trials + 1) - logGamma(successes + 1) - logGamma(failures + 1);
  return Math.exp(choose + logBeta(successes + a, failures + b) - logBeta(a, b));
}

function logBeta(a: number, b: number): number {
  return logGamma(a) + logGamma(b) - logGamma(a + b);
}

/** An urn: `white` and `black` balls, `drawn` of them taken without putting back. */
export type Urn = { readonly white: number; readonly black: number; readonly drawn: number };

/**
 * P(X <= x) for the number of white balls drawn (hypergeometric), every term positive.
 * Throws a RangeError when counts are not whole or more balls are drawn than there are.
 */
export function hypergeometricCdf(x: number, urn: Urn): number {
  return hypergeometricSum(urn, -Infinity, x);
}

/** P(X > x) for the number of white balls drawn (hypergeometric), summed over its own terms. */
export function hypergeometricUpper(x: number, urn: Urn): number {
  return hypergeometricSum(urn, Math.floor(x) + 1, Infinity);
}

function hypergeometricSum(urn: Urn, from: number, to: number): number {
  const { white, black, drawn } = urn;
  requireCount('white', white);
  requireCount('black', black);
  requireCount('drawn', drawn);
  if (drawn > white + black) {
    throw new RangeError(`drawn must not exceed white + black (${white + black}); got ${drawn}`);
  }
  const least = Math.max(0, drawn - black);
  const most = Math.min(drawn, white);
  let sum = 0;
  for (let k = Math.max(least, from); k <= Math.min(most, to); k++) {
    sum += hypergeometricPoint(k, urn);
  }
  // Only rounding can lift the sum above 1; over the whole range it is 1.
  return from <= least && to >= most ? 1 : Math.min(1, sum);
}

// Three binomials with one chance, Loader (2000) section 7: their large parts cancel exactly.
function hypergeometricPoint(x: number, { white, black, drawn }: Urn): number {
  const all = white + black;
  if (drawn === 0 || drawn === all) return 1;
  const p = drawn / all;
  return (
    (binomialPoint(x, white, p) * binomialPoint(drawn - x, black, p)) / binomialPoint(drawn, all, p)
  );
}
