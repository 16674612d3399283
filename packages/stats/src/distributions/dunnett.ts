import { requireNumber, requirePositive, requireProbability } from './arguments';
import { type Correlation, fitOneFactor, requireCorrelation, withoutRepeats } from './correlation';
import { generalOutside } from './dunnett-general';
import { productOutside, productRule } from './dunnett-product';
import type { Estimate } from './outside-table';
import { monotoneRoot } from './root';
import { overScale, type ScaleHints } from './scale-mixture';
import { tTwoSided } from './student';

/** A miss of the product structure below this is rounding of the correlations. */
const EXACT_STRUCTURE = 1e-10;
/** Loadings nearer to 1 would need a needle-fine rule; the general route takes them. */
const LARGEST_LOADING = 0.9999;
/** Of the product route: the trapezoidal rules aim at 1e-12. */
const PRODUCT_ERROR = 1e-10;

/** On the logarithm of a quantile. */
const QUANTILE_TOLERANCE = 1e-12;
/** -log of the error of the rule over the scale where the integrand comes from a table: about 1e-10. */
const TABLE_LOG_ERROR = 24;

/**
 * How P was found: one comparison; product structure; a few common factors; lattice rules for any other
 * correlation; or an upper bound where none of these will do.
 */
export type DunnettRoute = 'single' | 'product' | 'factors' | 'lattice' | 'bound';

/** A simultaneous p-value, a bound on its absolute error, and how it was found. */
export type DunnettTail = Estimate & { readonly route: DunnettRoute };

/** The distribution of the largest |T_i|, with all that does not depend on t worked out once. */
export type Dunnett = {
  readonly route: DunnettRoute;
  /** P(max |T_i| >= |t|); throws a RangeError when t is not a number. */
  readonly upper: (t: number) => DunnettTail;
  /** The t with P(max |T_i| <= t) = level; throws a RangeError unless 0 <= level <= 1. */
  readonly quantile: (level: number) => number;
};

function hintsFor(t: number, m: number, df: number): ScaleHints {
  const logCount = Math.log(2 * m);
  return { peak: -0.5 * Math.log1p((t * t) / df), sharpness: 1 + 1.6 * logCount * logCount };
}

type Tail = { readonly route: DunnettRoute; readonly at: (t: number) => Estimate };

/** The tail for any df, with all that only the correlation decides worked out once. */
function tailsOf(correlation: Correlation): (df: number) => Tail {
  const m = correlation.length;
  if (m === 1) {
    return (df) => ({ route: 'single', at: (t) => ({ p: tTwoSided(t, df), error: 1e-13 }) });
  }
  const { loadings, residual } = fitOneFactor(correlation);
  if (residual < EXACT_STRUCTURE && Math.max(...loadings.map(Math.abs)) < LARGEST_LOADING) {
    const rule = productRule(loadings);
    return (df) => {
      const at = (t: number): number =>
        overScale(df, hintsFor(t, m, df), (s) => productOutside(t * s, rule));
      return { route: 'product', at: (t) => ({ p: Math.min(1, at(t)), error: PRODUCT_ERROR }) };
    };
  }
  const { at, error, route } = generalOutside(correlation);
  return (df) => ({
    route,
    at: (t) => {
      const hints = { ...hintsFor(t, m, df), logError: TABLE_LOG_ERROR };
      const p = Math.min(
        1,
        overScale(df, hints, (s) => at(t * s)),
      );
      // A bound is too large by no more than its distance from the p of one comparison alone.
      return { p, error: route === 'bound' ? Math.max(error, p - tTwoSided(t, df)) : error };
    },
  });
}

/**
 * The distribution of max |T_i| for a central multivariate t with the given correlation and df (Infinity
 * is the normal): two-sided comparisons with a control, adjusted for each other (Dunnett 1955, JASA
 * 50:1096; 1964, Biometrics 20:482). By numerical integration, never simulation: to about 1e-10 when
 * the correlations are products l_i l_j (one-way layouts, complete blocks); about 1e-8 to 1e-6 with few
 * or light further factors (lost plots, covariates, incomplete blocks); about 1e-5 to 1e-3 by lattice
 * rules. What none of these can do is given as an upper bound. Throws a RangeError when the rows are
 * no correlation matrix or df is not above 0.
 */
export function dunnett(correlation: Correlation, df: number): Dunnett {
  return dunnettByDf(correlation)(df);
}

/** `dunnett` of one correlation for several df: what hangs on the correlation alone is made once. */
export function dunnettByDf(correlation: Correlation): (df: number) => Dunnett {
  requireCorrelation(correlation);
  const tails = tailsOf(withoutRepeats(correlation));
  return (df) => {
    requirePositive('degrees of freedom', df);
    return distributionOf(tails(df));
  };
}

function distributionOf({ route, at }: Tail): Dunnett {
  return {
    route,
    upper: (t) => {
      requireNumber('t', t);
      return { ...at(Math.min(Math.abs(t), Number.MAX_VALUE)), route };
    },
    quantile: (level) => {
      requireProbability('level', level);
      if (level === 0) return 0;
      if (level === 1) return Infinity;
      const f = (u: number): number => Math.log(at(Math.exp(u)).p / (1 - level));
      return Math.exp(monotoneRoot(f, Math.LN2, false, QUANTILE_TOLERANCE));
    },
  };
}

/** One tail of `dunnett`; for several make the distribution once. */
export function dunnettTail(t: number, correlation: Correlation, df: number): DunnettTail {
  return dunnett(correlation, df).upper(t);
}

/** The p-value alone; see dunnett. */
export function dunnettUpper(t: number, correlation: Correlation, df: number): number {
  return dunnettTail(t, correlation, df).p;
}

/** The two-sided point alone: half-widths of simultaneous intervals in standard errors; see dunnett. */
export function dunnettQuantile(level: number, correlation: Correlation, df: number): number {
  return dunnett(correlation, df).quantile(level);
}
