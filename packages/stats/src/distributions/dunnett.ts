import { requireNumber, requirePositive, requireProbability } from './arguments';
import { type Correlation, fitOneFactor, requireCorrelation, withoutRepeats } from './correlation';
import { type Estimate, latticeUpper, splitCommonFactor } from './dunnett-lattice';
import { productOutside, productRule } from './dunnett-product';
import { type CouplingSeries, couplingSeries, seriesOutside } from './dunnett-series';
import { monotoneRoot } from './root';
import { overScale, type ScaleHints } from './scale-mixture';
import { tTwoSided } from './student';

/** A miss of the product structure below this is rounding of the correlations. */
const EXACT_STRUCTURE = 1e-10;
/** Loadings nearer to 1 would need a needle-fine rule; the general route takes them. */
const LARGEST_LOADING = 0.9999;
/** Of the product route: the trapezoidal rules aim at 1e-12. */
const PRODUCT_ERROR = 1e-10;

/** Orders of the series for correlations near product structure: few first, more where they are needed. */
const SERIES_ORDERS = [4, 5, 6, 7];
const MOST_SERIES_TERMS = 30_000;
const LARGEST_SERIES_LOADING = 0.97;
/** Bound at which a series is taken; the bound is the last two orders kept, the error far smaller. */
const SERIES_ERROR = 2e-7;
/** -log of the error of the rule over the scale under a series: about 3e-10 relative. */
const SERIES_LOG_ERROR = 22;

const SCALE_ERROR = 1e-9;

/**
 * Which integral was used: one comparison; product structure; a series in small departures from it
 * (blocks with lost plots); or the low-discrepancy rule for any other correlation.
 */
export type DunnettRoute = 'single' | 'product' | 'series' | 'lattice';

/** A simultaneous p-value, a bound on its absolute error, and how it was found. */
export type DunnettTail = Estimate & { readonly route: DunnettRoute };

/** The tail as a function of t, with all that does not depend on t worked out once. */
type Prepared = { readonly exact: boolean; readonly tail: (t: number) => DunnettTail };

function hintsFor(t: number, m: number, df: number): ScaleHints {
  const logCount = Math.log(2 * m);
  return { peak: -0.5 * Math.log1p((t * t) / df), sharpness: 1 + 1.6 * logCount * logCount };
}

function prepare(correlation: Correlation, df: number): Prepared {
  requireCorrelation(correlation);
  requirePositive('degrees of freedom', df);
  const distinct = withoutRepeats(correlation);
  const m = distinct.length;
  if (m === 1) {
    return { exact: true, tail: (t) => ({ p: tTwoSided(t, df), error: 1e-13, route: 'single' }) };
  }
  const { loadings, residual } = fitOneFactor(distinct);
  if (residual < EXACT_STRUCTURE && largestSize(loadings) < LARGEST_LOADING) {
    return {
      exact: true,
      tail: (t) => ({ p: byProduct(t, loadings, df), error: PRODUCT_ERROR, route: 'product' }),
    };
  }
  return { exact: false, tail: nearProduct(distinct, loadings, df) };
}

function largestSize(values: readonly number[]): number {
  return Math.max(...values.map(Math.abs));
}

/** The series while its last order is small enough, else the lattice; both are made when first needed. */
function nearProduct(
  correlation: Correlation,
  loadings: readonly number[],
  df: number,
): (t: number) => DunnettTail {
  const split = splitCommonFactor(correlation, loadings);
  const orders = largestSize(loadings) < LARGEST_SERIES_LOADING ? SERIES_ORDERS : [];
  const made = new Map<number, CouplingSeries | undefined>();
  return (t) => {
    for (const order of orders) {
      if (!made.has(order)) {
        made.set(order, couplingSeries(correlation, loadings, order, MOST_SERIES_TERMS));
      }
      const series = made.get(order);
      if (!series) break;
      const estimate = bySeries(t, series, df);
      if (estimate.error < SERIES_ERROR) return { ...estimate, route: 'series' };
    }
    return { ...latticeUpper(t, split, df, hintsFor(t, loadings.length, df)), route: 'lattice' };
  };
}

function bySeries(t: number, series: CouplingSeries, df: number): Estimate {
  const hints = { ...hintsFor(t, series.loadings.length, df), logError: SERIES_LOG_ERROR };
  // The largest of the last orders over the scale bounds their mean over the scale.
  let worst = 0;
  const p = overScale(df, hints, (s) => {
    const { outside, last } = seriesOutside(t * s, series);
    worst = Math.max(worst, last);
    return outside;
  });
  return { p: Math.min(1, Math.max(0, p)), error: worst + SCALE_ERROR };
}

function byProduct(t: number, loadings: readonly number[], df: number): number {
  const rule = productRule(loadings);
  const hints = hintsFor(t, loadings.length, df);
  return Math.min(
    1,
    overScale(df, hints, (s) => productOutside(t * s, rule)),
  );
}

/**
 * P(max |T_i| >= |t|) for a central multivariate t with the given correlation and df (Infinity is the
 * normal): the two-sided p-value of a comparison with a control, adjusted for all comparisons (Dunnett
 * 1955, JASA 50:1096; 1964, Biometrics 20:482). By numerical integration, never simulation: to about
 * 1e-11 when the correlations are products l_i l_j (one-way layouts, complete blocks), within 1e-6 near
 * such products (blocks with lost plots) and about 1e-5 far from them; a bound is returned. Throws a RangeError when the rows are no correlation matrix.
 */
export function dunnettTail(t: number, correlation: Correlation, df: number): DunnettTail {
  requireNumber('t', t);
  const { tail } = prepare(correlation, df);
  const size = Math.min(Math.abs(t), Number.MAX_VALUE);
  return tail(size);
}

/** The p-value alone; see dunnettTail. */
export function dunnettUpper(t: number, correlation: Correlation, df: number): number {
  return dunnettTail(t, correlation, df).p;
}

/**
 * The t with P(max |T_i| <= t) = level: half-widths of simultaneous intervals in standard errors.
 * About 1e-10 relative for product structure, 1e-6 near it.
 * Throws a RangeError unless 0 <= level <= 1 and the rows are a correlation matrix.
 */
export function dunnettQuantile(level: number, correlation: Correlation, df: number): number {
  requireProbability('level', level);
  const { exact, tail } = prepare(correlation, df);
  if (level === 0) return 0;
  if (level === 1) return Infinity;
  const f = (u: number): number => Math.log(tail(Math.exp(u)).p / (1 - level));
  if (exact) return Math.exp(monotoneRoot(f, Math.LN2, false, 1e-12));
  const { loadings } = fitOneFactor(correlation);
  return secantFrom(f, startFor(loadings, level, df));
}

/** log of the quantile under the nearest product structure, and the slope of log p against log t there. */
function startFor(loadings: readonly number[], level: number, df: number): Start {
  const safe = loadings.map((l) => Math.max(-0.99, Math.min(0.99, l)));
  const f = (u: number): number => Math.log(byProduct(Math.exp(u), safe, df) / (1 - level));
  const u = monotoneRoot(f, Math.LN2, false, 1e-9);
  return { u, slope: (f(u + 1e-3) - f(u - 1e-3)) / 2e-3 };
}

type Start = { readonly u: number; readonly slope: number };

// Each value of f is dear, and the start is near: the secant method needs three or four of them.
function secantFrom(f: (u: number) => number, start: Start): number {
  let { u, slope } = start;
  let value = f(u);
  for (let i = 0; i < 20 && Math.abs(value) > 1e-7; i++) {
    const next = u - value / slope;
    const nextValue = f(next);
    if (next !== u && nextValue !== value) slope = (nextValue - value) / (next - u);
    u = next;
    value = nextValue;
  }
  return Math.exp(u);
}
