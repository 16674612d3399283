import type { Correlation } from './correlation';
import { type ProductRule, productRule } from './dunnett-product';
import { normalDensity, upperTail } from './normal';

/**
 * exp(Q) with Q = sum over pairs of residual_ij d_i d_j, cut after `orders`: one row per monomial in the
 * derivatives. Rows are sorted by degrees, so that products over leading contrasts are shared.
 */
export type CouplingSeries = {
  readonly rule: ProductRule;
  readonly loadings: readonly number[];
  readonly spreads: readonly number[];
  readonly orders: number;
  /** terms x contrasts: how often each contrast is differentiated. */
  readonly degrees: Uint8Array;
  readonly coefficients: Float64Array;
  /** First contrast whose degree differs from the row before. */
  readonly changed: Uint8Array;
  /**
   * Rows of the last two orders: 1 and 2. Their sizes measure what the cut leaves out; one alone would
   * not, since a symmetric case has no odd orders at all.
   */
  readonly late: Uint8Array;
};

/** Degrees are packed in base 8, so no contrast is differentiated more than seven times: `orders` up to 7. */
const BASE = 8;
const MOST_CONTRASTS = 16;
const NEGLIGIBLE = 1e-14;
const REACH = 9;

/** Monomials of the next order: Q times these, over n. */
function nextOrder(
  terms: ReadonlyMap<number, number>,
  pairs: readonly (readonly [number, number])[],
  n: number,
): Map<number, number> {
  const next = new Map<number, number>();
  for (const [key, coefficient] of terms) {
    for (const [bump, residual] of pairs) {
      const at = key + bump;
      next.set(at, (next.get(at) ?? 0) + (coefficient * residual) / n);
    }
  }
  return next;
}

/**
 * The series for a correlation near l_i l_j, or undefined when it would have more than `mostTerms` terms.
 */
export function couplingSeries(
  correlation: Correlation,
  loadings: readonly number[],
  orders: number,
  mostTerms: number,
): CouplingSeries | undefined {
  const m = loadings.length;
  if (m > MOST_CONTRASTS) return undefined;
  const pairs: [number, number][] = [];
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < i; j++) {
      const residual = correlation[i][j] - loadings[i] * loadings[j];
      // The first contrast takes the leading digit, so that sorting by key shares leading products.
      if (residual !== 0) pairs.push([BASE ** (m - 1 - i) + BASE ** (m - 1 - j), residual]);
    }
  }
  const rows: { key: number; coefficient: number; order: number }[] = [];
  let terms: ReadonlyMap<number, number> = new Map([[0, 1]]);
  for (let n = 1; n <= orders; n++) {
    terms = nextOrder(terms, pairs, n);
    for (const [key, coefficient] of terms) rows.push({ key, coefficient, order: n });
    if (rows.length > mostTerms) return undefined;
  }
  rows.sort((a, b) => a.key - b.key);
  const degrees = new Uint8Array(rows.length * m);
  const changed = new Uint8Array(rows.length);
  rows.forEach((row, r) => {
    for (let i = 0; i < m; i++) {
      degrees[r * m + i] = Math.floor(row.key / BASE ** (m - 1 - i)) % BASE;
    }
    while (r > 0 && degrees[r * m + changed[r]] === degrees[(r - 1) * m + changed[r]]) changed[r]++;
  });
  return {
    rule: productRule(loadings),
    loadings,
    spreads: loadings.map((l) => Math.sqrt((1 - l) * (1 + l))),
    orders,
    degrees,
    changed,
    coefficients: Float64Array.from(rows, (row) => row.coefficient),
    late: Uint8Array.from(rows, (row) => Math.max(0, row.order - orders + 2)),
  };
}

/** The probability outside, and the size of the last two orders kept. */
type SeriesValue = { outside: number; last: number };

/** Scratch space: values[i * (BASE + 1) + d] is the d-th derivative of contrast i's inner probability. */
type Scratch = { readonly values: Float64Array; readonly prefix: Float64Array };

/** Fills the derivatives of P(|mean + spread E| <= w) in the mean, and returns the probability outside. */
function fillDerivatives(
  w: number,
  z: number,
  series: CouplingSeries,
  values: Float64Array,
): number {
  const { loadings, spreads, orders } = series;
  let out = 0;
  for (let i = 0; i < loadings.length; i++) {
    const spread = spreads[i];
    const high = (w - loadings[i] * z) / spread;
    const low = (-w - loadings[i] * z) / spread;
    const beyond = upperTail(high) + upperTail(-low);
    out += (1 - out) * beyond;
    const at = i * (BASE + 1);
    values[at] = 1 - beyond;
    // Hermite polynomials times densities at both ends, by their three-term recurrence.
    let [top, bottom] = [normalDensity(high), normalDensity(low)];
    let [topBefore, bottomBefore] = [0, 0];
    let scale = -1 / spread;
    for (let d = 1; d <= orders; d++) {
      values[at + d] = scale * (top - bottom);
      const topNext = high * top - (d - 1) * topBefore;
      const bottomNext = low * bottom - (d - 1) * bottomBefore;
      [topBefore, top] = [top, topNext];
      [bottomBefore, bottom] = [bottom, bottomNext];
      scale /= spread;
    }
  }
  return out;
}

function addTerms(series: CouplingSeries, { values, prefix }: Scratch, sum: SeriesValue): void {
  const { degrees, changed, coefficients, late, loadings } = series;
  const m = loadings.length;
  let total = 0;
  let [lastButOne, last] = [0, 0];
  for (let r = 0; r < coefficients.length; r++) {
    for (let i = changed[r]; i < m; i++) {
      prefix[i + 1] = prefix[i] * values[i * (BASE + 1) + degrees[r * m + i]];
    }
    const term = coefficients[r] * prefix[m];
    total += term;
    if (late[r] === 2) last += term;
    else if (late[r] === 1) lastButOne += term;
  }
  sum.outside -= total;
  sum.last = Math.abs(lastButOne) + Math.abs(last);
}

/**
 * P(max |X_i| > w) for normals whose correlation is l_i l_j plus small residuals. Given the common factor
 * the density obeys Plackett's identity d f / d r_ij = d^2 f / dx_i dx_j (Plackett 1954, Biometrika
 * 41:351), so the residuals act as exp(sum r_ij d_i d_j) on the product of independent probabilities:
 * the tetrachoric series (Kendall 1941, Biometrika 32:196), here in residuals near 0, where it is short.
 */
export function seriesOutside(w: number, series: CouplingSeries): SeriesValue {
  const { rule, loadings } = series;
  const m = loadings.length;
  const scratch = { values: new Float64Array(m * (BASE + 1)), prefix: new Float64Array(m + 1) };
  scratch.prefix[0] = 1;
  const centre = w * Math.max(...loadings.map(Math.abs));
  const end = Math.min(rule.weights.length - 1, Math.ceil((centre + REACH) / rule.step));
  const sum: SeriesValue = { outside: 0, last: 0 };
  const here: SeriesValue = { outside: 0, last: 0 };
  for (let i = 0; i <= end; i++) {
    const z = i * rule.step;
    here.outside = fillDerivatives(w, z, series, scratch.values);
    addTerms(series, scratch, here);
    const term = rule.weights[i] * here.outside;
    sum.outside += term;
    sum.last += rule.weights[i] * here.last;
    if (z > centre && term < NEGLIGIBLE * sum.outside) break;
  }
  return sum;
}
