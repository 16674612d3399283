import { requireNumber, requirePositive, type Tail, type Tails } from './arguments';
import { incompleteGamma } from './incomplete-gamma';
import { positiveQuantile } from './quantile';

function gammaTails(x: number, shape: number): Tails {
  requireNumber('x', x);
  requirePositive('shape', shape);
  return incompleteGamma(x, shape);
}

/** P(X <= x) of a gamma distribution with the given shape and rate 1: P(a, x). */
export function gammaCdf(x: number, shape: number): number {
  return gammaTails(x, shape).lower;
}

/** P(X > x) of a gamma distribution with the given shape and rate 1: Q(a, x). */
export function gammaUpper(x: number, shape: number): number {
  return gammaTails(x, shape).upper;
}

/** The x with P(X <= x) = p (or P(X > x) = p), rate 1. */
export function gammaQuantile(p: number, shape: number, tail: Tail = 'lower'): number {
  requirePositive('shape', shape);
  return positiveQuantile((x) => incompleteGamma(x, shape), p, tail, shape);
}

/** P(X <= x) of chi-square on df degrees of freedom (df > 0, need not be whole). */
export function chiSquareCdf(x: number, df: number): number {
  return gammaTails(x / 2, df / 2).lower;
}

/** P(X > x) of chi-square on df degrees of freedom. */
export function chiSquareUpper(x: number, df: number): number {
  return gammaTails(x / 2, df / 2).upper;
}

/** The x with P(X <= x) = p (or P(X > x) = p) of chi-square on df degrees of freedom. */
export function chiSquareQuantile(p: number, df: number, tail: Tail = 'lower'): number {
  return 2 * gammaQuantile(p, df / 2, tail);
}
