import { type Dunnett, dunnett } from '../distributions/dunnett';
import {
  studentizedRangeQuantile,
  studentizedRangeUpper,
} from '../distributions/studentized-range';
import { dot, valueOf } from './contrast';
import { solveForm } from './householder';
import type { LeastSquaresMeans } from './lsmeans';
import type { Missing } from './spread';

/** `a` minus `b`, levels by their place in the factor. p and interval are simultaneous. */
export type Comparison = {
  readonly a: number;
  readonly b: number;
  readonly difference: number | undefined;
  readonly se: number | undefined;
  readonly t: number | undefined;
  readonly p: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
  readonly why: Missing | undefined;
};

type Pair = {
  readonly a: number;
  readonly b: number;
  readonly u: Float64Array | undefined;
};

/** Means may be open while their difference is not, so each difference is solved for itself. */
function pairOf(lsm: LeastSquaresMeans, a: number, b: number): Pair {
  const formA = lsm.forms[a];
  const formB = lsm.forms[b];
  if (!formA || !formB) return { a, b, u: undefined };
  const form = formA.map((weight, i) => weight - formB[i]);
  return { a, b, u: solveForm(lsm.fit.triangle, form) };
}

type Family = {
  /** Simultaneous p of a |t|. */
  readonly p: (t: number) => number;
  /** Simultaneous interval: this many standard errors either side. */
  readonly reach: number;
};

function compare(lsm: LeastSquaresMeans, pair: Pair, family: Family | undefined): Comparison {
  const { a, b, u } = pair;
  const nothing = { se: undefined, t: undefined, p: undefined, low: undefined, high: undefined };
  if (u === undefined) {
    const empty = !lsm.forms[a] || !lsm.forms[b];
    const why = empty ? 'no-observations' : 'not-estimable';
    return { a, b, difference: undefined, ...nothing, why };
  }
  const { spread } = lsm.fit;
  const difference = valueOf(lsm.fit, u, 0);
  if (!spread.known) return { a, b, difference, ...nothing, why: spread.why };
  const se = spread.sd * Math.sqrt(dot(u, u));
  const t = difference / se;
  const p = family?.p(Math.abs(t));
  const half = family && family.reach * se;
  const low = half === undefined ? undefined : difference - half;
  const high = half === undefined ? undefined : difference + half;
  return { a, b, difference, se, t, p, low, high, why: undefined };
}

function correlationOf(solved: readonly Float64Array[]): number[][] {
  const lengths = solved.map((u) => Math.sqrt(dot(u, u)));
  return solved.map((u, i) =>
    solved.map((v, j) => (i === j ? 1 : dot(u, v) / (lengths[i] * lengths[j]))),
  );
}

/**
 * How simultaneous p-values were found: `exact`, to 2e-5 or better (mostly 1e-7); `lattice`, to 3e-3 or
 * better (mostly 1e-4); `bound`, on the safe side: true p-values are no larger and intervals no wider.
 */
export type ControlMethod = 'exact' | 'lattice' | 'bound';

export type ControlComparisons = {
  readonly control: number;
  readonly df: number;
  /** Every level but the control, in the factor's order; level minus control. */
  readonly comparisons: readonly Comparison[];
  /** Correlation of the estimable differences, in their order. */
  readonly correlation: readonly (readonly number[])[];
  /** The two-sided Dunnett quantile behind the intervals. */
  readonly quantile: number | undefined;
  /** Undefined where there is no error to measure by or nothing to compare. */
  readonly method: ControlMethod | undefined;
};

/** Errors above this are told to the caller. */
const EXACT = 2e-5;

function methodOf({ route, upper }: Dunnett): ControlMethod {
  if (route === 'bound') return 'bound';
  return upper(2).error <= EXACT ? 'exact' : 'lattice';
}

/**
 * Each level against the control, with Dunnett's two-sided p and simultaneous intervals (Dunnett
 * 1955, JASA 50:1096-1121) for the correlations this very layout gives, unequal replication and
 * lost plots included.
 */
export function versusControl(lsm: LeastSquaresMeans, control: number): ControlComparisons {
  const { spread } = lsm.fit;
  const pairs = lsm.means.flatMap((_, i) => (i === control ? [] : [pairOf(lsm, i, control)]));
  const correlation = correlationOf(pairs.flatMap(({ u }) => (u ? [u] : [])));
  const largest =
    spread.known && correlation.length > 0 ? dunnett(correlation, spread.df) : undefined;
  const family: Family | undefined = largest && {
    p: (t) => largest.upper(t).p,
    reach: largest.quantile(lsm.confidence),
  };
  return {
    control,
    df: spread.df,
    comparisons: pairs.map((pair) => compare(lsm, pair, family)),
    correlation,
    quantile: family?.reach,
    method: largest && methodOf(largest),
  };
}

export type PairComparisons = {
  readonly df: number;
  /** Levels that take part in at least one estimable difference: the k of the studentised range. */
  readonly levels: number;
  readonly pairs: readonly Comparison[];
  /** The studentised-range quantile behind the intervals (a half-width is this / sqrt 2 * se). */
  readonly quantile: number | undefined;
};

/**
 * Every pair of levels, the earlier minus the later, with Tukey-Kramer p and simultaneous intervals
 * (Kramer 1956, Biometrics 12:307-310; conservative for unequal replication, Hayter 1984, Annals of
 * Statistics 12:61-75).
 */
export function allPairs(lsm: LeastSquaresMeans): PairComparisons {
  const { spread } = lsm.fit;
  const pairs: Pair[] = [];
  const taking = new Set<number>();
  for (let a = 0; a < lsm.means.length; a++) {
    for (let b = a + 1; b < lsm.means.length; b++) {
      const pair = pairOf(lsm, a, b);
      pairs.push(pair);
      if (pair.u) taking.add(a).add(b);
    }
  }
  const levels = taking.size;
  const quantile =
    spread.known && levels > 1
      ? studentizedRangeQuantile(lsm.confidence, levels, spread.df)
      : undefined;
  const family: Family | undefined =
    quantile === undefined
      ? undefined
      : {
          p: (t) => studentizedRangeUpper(t * Math.SQRT2, levels, spread.df),
          reach: quantile / Math.SQRT2,
        };
  return {
    df: spread.df,
    levels,
    pairs: pairs.map((pair) => compare(lsm, pair, family)),
    quantile,
  };
}
