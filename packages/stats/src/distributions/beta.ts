import { requireNumber, requirePositive, type Tail, type Tails } from './arguments';
import { incompleteBeta } from './incomplete-beta';
import { unitQuantile } from './quantile';

function betaTails(x: number, a: number, b: number): Tails {
  requireNumber('x', x);
  requirePositive('first shape', a);
  requirePositive('second shape', b);
  return incompleteBeta(x, 1 - x, a, b);
}

/** P(X <= x) of a beta distribution with shapes a, b: the regularised incomplete beta function. */
export function betaCdf(x: number, a: number, b: number): number {
  return betaTails(x, a, b).lower;
}

/** P(X > x) of a beta distribution with shapes a, b, computed without subtracting from 1 where small. */
export function betaUpper(x: number, a: number, b: number): number {
  return betaTails(x, a, b).upper;
}

/** The x with P(X <= x) = p (or P(X > x) = p), for shapes a, b > 0; about 1e-13 relative. */
export function betaQuantile(p: number, a: number, b: number, tail: Tail = 'lower'): number {
  requirePositive('first shape', a);
  requirePositive('second shape', b);
  return unitQuantile((x, y) => incompleteBeta(x, y, a, b), p, tail, a / (a + b));
}
