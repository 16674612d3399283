import type { Tails } from './arguments';
import { deviancePart, stirlingError } from './gamma-function';

const TINY = 1e-300;
const EPS = 1e-16;
const TWO_PI = 6.283185307179586476925286766559;

/**
 * x^a y^b Gamma(a + b) / (Gamma(a) Gamma(b)) for y = 1 - x, a, b > 0, written with Stirling errors and
 * deviance parts so that large a and b lose no digits (Loader 2000; the same form as a binomial density).
 */
function betaFront(x: number, y: number, a: number, b: number): number {
  const n = a + b;
  const exponent =
    stirlingError(n) -
    stirlingError(a) -
    stirlingError(b) -
    deviancePart(a, n * x) -
    deviancePart(b, n * y);
  return (Math.sqrt((a / n) * b) * Math.exp(exponent)) / Math.sqrt(TWO_PI);
}

// A zero denominator of the Lentz method is moved off by an amount that no digit of the result sees.
function awayFromZero(v: number): number {
  return v === 0 ? TINY : v;
}

/**
 * Continued fraction of the incomplete beta function: I_x(a, b) = front / fraction, quick for
 * x below (a + 1) / (a + b + 2). DiDonato & Morris (1992), "Algorithm 708", ACM TOMS 18:360-373,
 * equation 9, evaluated by the modified Lentz method.
 */
function betaFraction(x: number, y: number, a: number, b: number): number {
  const lambda = a - (a + b) * x;
  let f = (a / (a + 1)) * (lambda + 1);
  let c = f;
  let d = 0;
  for (let n = 1; n < 20_000; n++) {
    const odd = a + 2 * n - 1;
    const shared = (n * (b - n) * x) / odd;
    const alpha = (((a + n - 1) * (a + b + n - 1)) / odd) * shared * x;
    const beta = n + shared + ((a + n) / (odd + 2)) * (lambda + 1 + n * (1 + y));
    d = 1 / awayFromZero(beta + alpha * d);
    c = awayFromZero(beta + alpha / c);
    const step = c * d;
    f *= step;
    if (Math.abs(step - 1) < 4 * EPS) break;
  }
  return f;
}

/**
 * Power series I_x(a, b) = x^a / (a B(a, b)) * [1 + a sum_n (1-b)(2-b)...(n-b) / (n! (a+n)) x^n]
 * (DiDonato & Morris 1992, BPSER); all terms but the first have one sign when b <= 1.
 */
function betaSeries(x: number, y: number, a: number, b: number): number {
  let term = 1;
  let sum = 1 / a;
  for (let n = 1; n < 20_000; n++) {
    term *= ((n - b) / n) * x;
    const add = term / (a + n);
    sum += add;
    if (Math.abs(add) < EPS * sum) break;
  }
  return betaFront(x, y, a, b) * Math.exp(-b * Math.log(y)) * sum;
}

function smallSide(x: number, y: number, a: number, b: number): number {
  if (b <= 1 && x <= 0.7) return betaSeries(x, y, a, b);
  return betaFront(x, y, a, b) / betaFraction(x, y, a, b);
}

/**
 * Regularised incomplete beta function, both tails: lower I_x(a, b) and upper 1 - I_x(a, b),
 * for a, b > 0. `y` is 1 - x, given apart so that a point near 1 keeps its digits.
 * The tail on the far side of the mean is summed directly, so small tails are exact to about 1e-13.
 */
export function incompleteBeta(x: number, y: number, a: number, b: number): Tails {
  if (x <= 0) return { lower: 0, upper: 1 };
  if (y <= 0) return { lower: 1, upper: 0 };
  if (x * (a + b + 2) <= a + 1) {
    const lower = smallSide(x, y, a, b);
    return { lower, upper: 1 - lower };
  }
  const upper = smallSide(y, x, b, a);
  return { lower: 1 - upper, upper };
}
