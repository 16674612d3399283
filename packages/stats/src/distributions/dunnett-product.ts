import { normalDensity, upperTail } from './normal';

/** Contrasts whose loadings have one size, and how many they are. */
type Group = { readonly loading: number; readonly spread: number; readonly count: number };

/** What the inner integral needs and does not depend on the scale. */
export type ProductRule = {
  readonly groups: readonly Group[];
  /** Step of the rule over the common factor. */
  readonly step: number;
  /** Weights at 0, step, 2 step, ...: both signs of the factor folded together. */
  readonly weights: Float64Array;
};

const SAME = 1e-13;
/** Beyond its conditional centre a normal factor matters no further than this many deviations. */
const REACH = 9;
const FARTHEST = 40;
const NEGLIGIBLE = 1e-14;

/**
 * The rule for loadings all below 1 in size. The integrand over the common factor is bell-shaped with
 * width about sqrt(1 - l^2), narrower for more contrasts, so the trapezoidal rule with a step of a share
 * r of the smallest such width has an error near exp(-2 pi^2 / r^2) (Trefethen & Weideman 2014, SIAM
 * Review 56:385). The share was set by halving it until the result no longer moved by 1e-11.
 */
export function productRule(loadings: readonly number[]): ProductRule {
  const groups: { loading: number; spread: number; count: number }[] = [];
  for (const l of loadings) {
    const loading = Math.abs(l);
    const known = groups.find((g) => Math.abs(g.loading - loading) < SAME);
    if (known) known.count++;
    else groups.push({ loading, spread: Math.sqrt((1 - loading) * (1 + loading)), count: 1 });
  }
  const share = Math.max(0.3, 0.82 - 0.135 * Math.log(loadings.length));
  const step = share * Math.min(...groups.map((g) => g.spread));
  const weights = Float64Array.from(
    { length: Math.ceil(FARTHEST / step) },
    (_, i) => (i === 0 ? 1 : 2) * step * normalDensity(i * step),
  );
  return { groups, step, weights };
}

/**
 * P(max |X_i| > w) for normals X_i = l_i Z + sqrt(1 - l_i^2) E_i: given Z they are independent.
 * 1 - prod(1 - B_i) is gathered as out + (1 - out) B, all terms positive, so small tails keep their
 * digits. B is even in both Z and l, so half the line and the sizes of the loadings are enough.
 */
export function productOutside(w: number, { groups, step, weights }: ProductRule): number {
  let centre = 0;
  for (const g of groups) centre = Math.max(centre, g.loading * w);
  const last = Math.min(weights.length - 1, Math.ceil((centre + REACH) / step));
  let sum = 0;
  for (let i = 0; i <= last; i++) {
    const z = i * step;
    let out = 0;
    for (const { loading, spread, count } of groups) {
      const shift = loading * z;
      const beyond = upperTail((w - shift) / spread) + upperTail((w + shift) / spread);
      for (let j = 0; j < count; j++) out += (1 - out) * beyond;
    }
    const term = weights[i] * out;
    sum += term;
    if (z > centre && term < NEGLIGIBLE * sum) break;
  }
  return sum;
}
