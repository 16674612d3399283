import { requireNumber, requirePositive, requireProbability, type Tail } from './arguments';
import { incompleteBeta } from './incomplete-beta';
import { normalQuantile, normalUpper } from './normal';
import { positiveQuantile } from './quantile';

/** P(|T| > |t|) and P(|T| <= |t|): I_x(df/2, 1/2) at x = df / (df + t^2), Abramowitz & Stegun 26.7.1. */
function bothSides(t: number, df: number): { outside: number; inside: number } {
  const square = t * t;
  if (square === Infinity) return farOut(Math.abs(t), df);
  const { lower, upper } = incompleteBeta(df / (df + square), square / (df + square), df / 2, 0.5);
  return { outside: lower, inside: upper };
}

// t^2 has left the range of doubles: only the leading power of the tail is left.
function farOut(t: number, df: number): { outside: number; inside: number } {
  if (t === Infinity) return { outside: 0, inside: 1 };
  const near = 1e150;
  return { outside: bothSides(near, df).outside * (near / t) ** df, inside: 1 };
}

/** P(T > t) for Student's t on df degrees of freedom (df > 0, Infinity is the normal). */
export function tUpper(t: number, df: number): number {
  requireNumber('t', t);
  requirePositive('degrees of freedom', df);
  if (df === Infinity) return normalUpper(t);
  const { outside, inside } = bothSides(t, df);
  return t > 0 ? outside / 2 : 0.5 + inside / 2;
}

/** P(T <= t) for Student's t; see tUpper. */
export function tCdf(t: number, df: number): number {
  return tUpper(-t, df);
}

/** P(|T| > |t|), the two-sided p-value of Student's t. */
export function tTwoSided(t: number, df: number): number {
  return 2 * tUpper(Math.abs(t), df);
}

/** The t with P(T <= t) = p (or P(T > t) = p), df > 0; about 1e-13 relative. */
export function tQuantile(p: number, df: number, tail: Tail = 'lower'): number {
  requireProbability('p', p);
  requirePositive('degrees of freedom', df);
  if (df === Infinity) return normalQuantile(p, tail);
  if (p === 0.5) return 0;
  const sign = p < 0.5 === (tail === 'lower') ? -1 : 1;
  const outer = p < 0.5 ? p : 1 - p;
  // Solved in |t| on the two-sided tails, which keeps its digits both near 0 and far out.
  const tails = (t: number) => {
    const { outside, inside } = bothSides(t, df);
    return { lower: inside, upper: outside };
  };
  const start = Math.abs(normalQuantile(outer)) || 1e-10;
  return sign * positiveQuantile(tails, 2 * outer, 'upper', start);
}
