import { tQuantile } from '../distributions/student';

/** Two estimates with the covariance of their errors, and the df behind those variances. */
export type RatioInput = {
  readonly numerator: number;
  readonly denominator: number;
  readonly varNumerator: number;
  readonly varDenominator: number;
  readonly covariance: number;
  /** Infinity where the variances are known. */
  readonly df: number;
  /** Coverage, 0..1; 0.95 when not given. */
  readonly confidence?: number;
};

/**
 * The set of ratios the data allow.
 *
 * - `bounded`: from `low` to `high`.
 * - `exclusive`: all but those between `below` and `above` (the denominator may be 0, and the two
 *   estimates are not both 0): at most `below` or at least `above`.
 * - `unbounded`: every ratio is allowed; the data say nothing of it.
 * - `none`: the denominator is 0, so there is no ratio.
 */
export type RatioInterval =
  | {
      readonly kind: 'bounded';
      readonly ratio: number;
      readonly low: number;
      readonly high: number;
    }
  | {
      readonly kind: 'exclusive';
      readonly ratio: number;
      readonly below: number;
      readonly above: number;
    }
  | { readonly kind: 'unbounded'; readonly ratio: number }
  | { readonly kind: 'none'; readonly why: 'zero-denominator' };

/**
 * Fieller's interval for a ratio of two jointly normal estimates (Fieller 1954, JRSS B 16:175-185):
 * the ratios r for which numerator - r * denominator does not differ from 0 by a t test, that is
 * a r^2 - 2 b r + c <= 0 with
 *   a = d^2 - t^2 var(d),  b = n d - t^2 cov(n, d),  c = n^2 - t^2 var(n).
 * Exact, not symmetric, and honest when the denominator is uncertain: a > 0 (the denominator
 * differs from 0) gives `bounded`; otherwise real roots give `exclusive` and none `unbounded`.
 * a = 0 exactly leaves a half-line, reported as `unbounded`, which holds it.
 */
export function ratioInterval(input: RatioInput): RatioInterval {
  const { numerator, denominator, varNumerator, varDenominator, covariance } = input;
  if (denominator === 0) return { kind: 'none', why: 'zero-denominator' };
  const ratio = numerator / denominator;
  const t2 = tQuantile((1 + (input.confidence ?? 0.95)) / 2, input.df) ** 2;
  // In units of the denominator squared, so that tiny and huge scales behave alike.
  const a = 1 - (t2 * varDenominator) / denominator ** 2;
  const b = ratio - (t2 * covariance) / denominator ** 2;
  const c = ratio ** 2 - (t2 * varNumerator) / denominator ** 2;
  const discriminant = b * b - a * c;
  if (a === 0 || (a < 0 && discriminant <= 0)) return { kind: 'unbounded', ratio };
  // a > 0 has real roots by algebra; rounding may leave a shade below 0 when variances vanish.
  const root = Math.sqrt(Math.max(discriminant, 0));
  // The root that adds sizes first; the other from the product of roots, to keep its digits.
  const far = b >= 0 ? b + root : b - root;
  const one = far / a;
  const other = far === 0 ? 0 : c / far;
  const low = Math.min(one, other);
  const high = Math.max(one, other);
  return a > 0
    ? { kind: 'bounded', ratio, low, high }
    : { kind: 'exclusive', ratio, below: low, above: high };
}

/**
 * Interval for a ratio by the delta method on its logarithm: exp(log(n/d) -+ t * se) with
 * se^2 = var(n)/n^2 + var(d)/d^2 - 2 cov/(n d). Approximate: fair while both estimates are several
 * standard errors above 0. For reference beside `ratioInterval`; undefined unless both are above 0.
 */
export function logRatioInterval(
  input: RatioInput,
): { readonly ratio: number; readonly low: number; readonly high: number } | undefined {
  const { numerator: n, denominator: d } = input;
  if (!(n > 0 && d > 0)) return undefined;
  const variance =
    input.varNumerator / (n * n) +
    input.varDenominator / (d * d) -
    (2 * input.covariance) / (n * d);
  const ratio = n / d;
  const t = tQuantile((1 + (input.confidence ?? 0.95)) / 2, input.df);
  const factor = Math.exp(t * Math.sqrt(Math.max(variance, 0)));
  return { ratio, low: ratio / factor, high: ratio * factor };
}
