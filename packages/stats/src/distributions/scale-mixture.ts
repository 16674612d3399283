import { stirlingError } from './gamma-function';

const TWO_PI = 6.283185307179586476925286766559;
/** Digits aimed at, as -log of the discretisation error: exp(-28) is below 1e-12. */
const LOG_ERROR = 28;

/**
 * Step of the trapezoidal rule in u = log s. The error of the rule on the whole line is the Fourier
 * transform of the integrand at w = 2 pi / step; for the density of log s that is
 * |Gamma((df + iw)/2) / Gamma(df/2)|, whose logarithm is close to
 * -(w/2) atan(w/df) + (df - 1)/4 log(1 + w^2/df^2). Solved for w by Newton's method.
 * See L. N. Trefethen & J. A. C. Weideman (2014), "The exponentially convergent trapezoidal rule",
 * SIAM Review 56:385-458, theorem 5.1.
 */
function stepFor(df: number, logError: number): number {
  let w = 2 * Math.sqrt(df * logError) + logError;
  for (let i = 0; i < 4; i++) {
    const ratio = w / df;
    const angle = Math.atan(ratio);
    const value = (w / 2) * angle - ((df - 1) / 4) * Math.log1p(ratio * ratio) - logError;
    const slope = angle / 2 + w / (2 * (df * df + w * w));
    w -= value / slope;
  }
  return TWO_PI / w;
}

/** How a function of the scale behaves, so that the rule may be placed. */
export type ScaleHints = {
  /** A guess at log s where density times function peaks; far-tail functions peak below 0. */
  readonly peak: number;
  /** Degrees of freedom that would bend the integrand as sharply as the function does. */
  readonly sharpness: number;
  /** -log of the relative error of the rule; exp(-28) unless a dear function asks for less. */
  readonly logError?: number;
};

/** The integrand, up to a constant, at a place x of the rule. */
type Visit = (u: number) => number;

/**
 * E[g(S)] for S = sqrt(chi-square(df) / df): an estimated standard deviation over the true one.
 *
 * With u = log s the density is proportional to exp(-n (expm1(2u) - 2u)), n = df/2, and density times g
 * is bell-shaped on the whole line, where the plain trapezoidal rule converges exponentially. Its left
 * tail only falls like s^df, so the rule runs in x with u = peak + x + 1 - exp(-x), which hurries there
 * (a one-sided form of the double exponential rule, Takahasi & Mori 1974). The walk starts near the
 * peak and goes both ways until terms are negligible, so far tails of g, which live at small s, are
 * summed as accurately as the body. g must keep the integrand unimodal: tails of maxima and ranges of
 * normals are log-concave, hence do (Prekopa 1973).
 */
export function overScale(df: number, hints: ScaleHints, g: (s: number) => number): number {
  if (df === Infinity) return g(1);
  const n = df / 2;
  const logError = hints.logError ?? LOG_ERROR;
  // At the peak u moves twice as fast as x.
  const step = stepFor(df + hints.sharpness, logError) / 2;
  const termAt = (u: number, speed: number): number => {
    const density = Math.exp(-n * (Math.expm1(2 * u) - 2 * u));
    return density === 0 ? 0 : density * speed * g(Math.exp(u));
  };
  const peak = termAt(hints.peak, 1) > termAt(0, 1) ? hints.peak : 0;
  const visit: Visit = (x) => {
    const decay = Math.exp(-x);
    return termAt(peak + x + 1 - decay, 1 + decay);
  };
  // Terms left out are a falling tail: a few times the last one, so cut well below the error.
  const sum = walk(visit, step, Math.exp(-logError - 5));
  return sum * step * 2 * Math.sqrt(n / TWO_PI) * Math.exp(-stirlingError(n));
}

/** Sum of terms both ways from 0, until they fall below `negligible` of the sum. */
function walk(visit: Visit, step: number, negligible: number): number {
  const first = visit(0);
  let sum = first;
  for (const direction of [step, -step]) {
    let before = first;
    for (let j = 1; j < 5000; j++) {
      const term = visit(j * direction);
      sum += term;
      if (term <= before && term <= negligible * sum) break;
      before = term;
    }
  }
  return sum;
}
