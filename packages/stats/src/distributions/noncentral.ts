import { requireNumber, requirePositive, type Tails } from './arguments';
import { logGamma } from './gamma-function';
import { incompleteBeta } from './incomplete-beta';
import { normalUpper } from './normal';
import { overScale } from './scale-mixture';

/**
 * P(T > t) for the non-central t, (Z + shift) / S: the power of a one-sided t-test. By integration over
 * S of the normal tail P(Z > t S - shift), so that both tails keep their digits where the usual series
 * (AS 243, Lenth 1989) loses the upper one. About 1e-11 relative.
 * Throws a RangeError unless df > 0 and the other arguments are numbers.
 */
export function noncentralTUpper(t: number, df: number, shift: number): number {
  requireNumber('t', t);
  requireNumber('shift', shift);
  requirePositive('degrees of freedom', df);
  if (df === Infinity) return normalUpper(t - shift);
  const hints = {
    peak: -0.5 * Math.log1p((t * t) / df),
    sharpness: (shift * shift) / 2,
  };
  return Math.min(
    1,
    overScale(df, hints, (s) => normalUpper(t * s - shift)),
  );
}

/** P(T <= t) for the non-central t: the upper tail of its mirror image; see noncentralTUpper. */
export function noncentralTCdf(t: number, df: number, shift: number): number {
  return noncentralTUpper(-t, df, -shift);
}

/**
 * Both tails of the non-central F: a Poisson mixture of incomplete beta functions (Abramowitz & Stegun
 * 26.6.20), summed outwards from the largest Poisson weight; every term of either tail is positive.
 */
function noncentralFTails(f: number, df1: number, df2: number, shift: number): Tails {
  if (f <= 0) return { lower: 0, upper: 1 };
  const ratio = (df1 / df2) * f;
  const x = ratio / (1 + ratio);
  const y = 1 / (1 + ratio);
  const mean = shift / 2;
  const middle = Math.floor(mean);
  const weight = (j: number): number =>
    mean === 0 ? (j === 0 ? 1 : 0) : Math.exp(j * Math.log(mean) - mean - logGamma(j + 1));
  const sum = { lower: 0, upper: 0 };
  const add = (j: number): boolean => {
    const w = weight(j);
    const part = incompleteBeta(x, y, df1 / 2 + j, df2 / 2);
    sum.lower += w * part.lower;
    sum.upper += w * part.upper;
    return w * part.lower > 1e-17 * sum.lower || w * part.upper > 1e-17 * sum.upper;
  };
  for (let j = middle; add(j) || j < middle + 4; j++);
  for (let j = middle - 1; j >= 0 && add(j); j--);
  return sum;
}

function checkF(f: number, df1: number, df2: number, shift: number): void {
  requireNumber('F', f);
  requirePositive('numerator degrees of freedom', df1);
  requirePositive('denominator degrees of freedom', df2);
  if (!(shift >= 0 && shift < Infinity)) {
    throw new RangeError(`non-centrality must be 0 or more and finite; got ${shift}`);
  }
}

/**
 * P(F > f) for the non-central F with non-centrality `shift` (sum of squared effects over the error
 * variance): the power of an F-test. Finite df2. Throws a RangeError for arguments outside their range.
 */
export function noncentralFUpper(f: number, df1: number, df2: number, shift: number): number {
  checkF(f, df1, df2, shift);
  return noncentralFTails(f, df1, df2, shift).upper;
}

/** P(F <= f) for the non-central F; see noncentralFUpper. */
export function noncentralFCdf(f: number, df1: number, df2: number, shift: number): number {
  checkF(f, df1, df2, shift);
  return noncentralFTails(f, df1, df2, shift).lower;
}
