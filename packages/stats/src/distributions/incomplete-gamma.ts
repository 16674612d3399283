import type { Tails } from './arguments';
import { deviancePart, stirlingError } from './gamma-function';

const TINY = 1e-300;
const EPS = 2e-16;
const TWO_PI = 6.283185307179586476925286766559;

/** x^a e^-x / Gamma(a), for a, x > 0, with Loader's Stirling errors (Loader 2000). */
function gammaFront(x: number, a: number): number {
  return (a / Math.sqrt(TWO_PI * a)) * Math.exp(-stirlingError(a) - deviancePart(a, x));
}

/** P(a, x) by its power series (Abramowitz & Stegun 6.5.29); all terms positive. */
function gammaSeries(x: number, a: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 100_000; n++) {
    term *= x / (a + n);
    sum += term;
    if (term < sum * EPS) break;
  }
  return sum * gammaFront(x, a);
}

// A zero denominator of the Lentz method is moved off by an amount that no digit of the result sees.
function awayFromZero(v: number): number {
  return v === 0 ? TINY : v;
}

/** Q(a, x) by Legendre's continued fraction (Abramowitz & Stegun 6.5.31), modified Lentz. */
function gammaFraction(x: number, a: number): number {
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let f = d;
  for (let i = 1; i < 100_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / awayFromZero(an * d + b);
    c = awayFromZero(b + an / c);
    const step = c * d;
    f *= step;
    if (Math.abs(step - 1) < EPS * 2) break;
  }
  return f * gammaFront(x, a);
}

/**
 * Regularised incomplete gamma function, both tails: lower P(a, x) and upper Q(a, x), for a > 0.
 * The tail on the far side of the mean is summed directly, so small tails are exact to about 1e-13.
 */
export function incompleteGamma(x: number, a: number): Tails {
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x === Infinity) return { lower: 1, upper: 0 };
  if (x < a + 1) {
    const lower = gammaSeries(x, a);
    return { lower, upper: 1 - lower };
  }
  const upper = gammaFraction(x, a);
  return { lower: 1 - upper, upper };
}
