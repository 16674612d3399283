import { requireProbability } from '../distributions/arguments';
import { normalCdf, normalQuantile } from '../distributions/normal';

/**
 * How an error rate is spread over looks, as a function of the share t of the information that is
 * in (Lan & DeMets 1983, Biometrika 70:659).
 */
export type Spending =
  /** Like O'Brien & Fleming: next to nothing early, nearly all at the end. */
  | { readonly kind: 'obrien-fleming' }
  /** Like Pocock: most of it early. */
  | { readonly kind: 'pocock' }
  /** alpha t^exponent; exponent 1 spends equal shares at equally spaced looks (Kim & DeMets 1987). */
  | { readonly kind: 'power'; readonly exponent: number };

/**
 * The share of `alpha` spent by the time the share `t` of the information is in; 0 at t <= 0 and
 * alpha from t = 1 on, never falling in between. Two-sided throughout:
 * 4 (1 - Phi(z(alpha/4) / sqrt t)), z(a) the upper a point of the normal: each side spends
 * 2 (1 - Phi(z((alpha/2)/2) / sqrt t)); alpha ln(1 + (e - 1) t); alpha t^exponent.
 * Lan & DeMets 1983, Biometrika 70:659, section 3; Kim & DeMets 1987, Biometrika 74:149.
 * The first is subtracted as it is written, good to 1e-16 of what is spent: whoever writes the
 * formula down finds the same bounds, and less than that is no share of anything.
 *
 * @throws RangeError for alpha outside 0..1, t not a number, or an exponent not above 0.
 */
export function alphaSpent(spending: Spending, t: number, alpha: number): number {
  requireProbability('alpha', alpha);
  if (Number.isNaN(t)) throw new RangeError(`t must be a number; got ${t}`);
  if (spending.kind === 'power' && !(spending.exponent > 0)) {
    throw new RangeError(`exponent must be above 0; got ${spending.exponent}`);
  }
  if (t <= 0 || alpha === 0) return 0;
  if (t >= 1) return alpha;
  switch (spending.kind) {
    case 'obrien-fleming':
      return Math.min(
        alpha,
        4 * (1 - normalCdf(normalQuantile(alpha / 4, 'upper') / Math.sqrt(t))),
      );
    case 'pocock':
      return Math.min(alpha, alpha * Math.log1p((Math.E - 1) * t));
    case 'power':
      return alpha * t ** spending.exponent;
  }
}
