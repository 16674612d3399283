import { type Dunnett, dunnettByDf } from '../distributions/dunnett';
import {
  studentizedRangeQuantile,
  studentizedRangeUpper,
} from '../distributions/studentized-range';
import type { Comparison, ControlMethod } from '../linear/compare';
import { type Estimate, unknownEstimate, type Weights, formOf } from '../linear/contrast';
import { type Efficacy, efficacyOfRatio } from '../linear/efficacy';
import { solveForm } from '../linear/householder';
import { leastSquaresMeans, type LeastSquaresMean } from '../linear/lsmeans';
import { ratioInterval } from '../linear/ratio';
import type { Precision } from './information';
import { formDf, formEstimate, quadratic } from './wald';

/** Means of a factor's levels by a REML fit. */
export type RemlMeans = {
  readonly precision: Precision;
  readonly factor: string;
  readonly confidence: number;
  /** Each with degrees of freedom of its own. */
  readonly means: readonly LeastSquaresMean[];
  readonly forms: readonly (Float64Array | undefined)[];
};

/**
 * Least-squares means of a factor's levels (`leastSquaresMeans`: other factors' levels count alike,
 * covariates stand at their mean), weighed with the fitted covariance; pointwise t intervals.
 *
 * @throws RangeError when the fit has no such factor.
 */
export function remlMeans(precision: Precision, factor: string, confidence = 0.95): RemlMeans {
  const { linear } = precision.fit;
  const { forms, means: plain } = leastSquaresMeans(linear, factor, confidence);
  const means = forms.map((form, i): LeastSquaresMean => {
    const { level, plots, why } = plain[i];
    const u = form && solveForm(linear.triangle, form);
    const estimate = u
      ? formEstimate(precision, u, 1, confidence)
      : unknownEstimate(0, why ?? 'not-estimable');
    return { level, plots, ...estimate };
  });
  return { precision, factor, confidence, means, forms };
}

/** A difference of two means, `a` minus `b`, with degrees of freedom of its own. */
export type RemlComparison = Comparison & { readonly df: number };

type Pair = { readonly a: number; readonly b: number; readonly u: Float64Array | undefined };

function pairOf({ precision, forms }: RemlMeans, a: number, b: number): Pair {
  const formA = forms[a];
  const formB = forms[b];
  if (!formA || !formB) return { a, b, u: undefined };
  const form = formA.map((weight, i) => weight - formB[i]);
  return { a, b, u: solveForm(precision.fit.linear.triangle, form) };
}

/** Simultaneous p of a |t|, and reach of the interval in standard errors, by degrees of freedom. */
type Family = (df: number) => { readonly p: (t: number) => number; readonly reach: number };

/** Degrees of freedom this near (relative) share a distribution, that of the smallest of them. */
const NEAR = 1.02;

/**
 * Keeps what is dear to work out once for each of the `dfs`, those within 2 % of one another taken
 * as the smallest: p and limits are then on the safe side by no more than a df of 2 % less.
 */
function oncePerDf<T>(dfs: readonly number[], make: (df: number) => T): (df: number) => T {
  const groups: { df: number; value: T | undefined }[] = [];
  for (const df of [...dfs].sort((a, b) => a - b)) {
    const last = groups.at(-1);
    if (last === undefined || df > last.df * NEAR) groups.push({ df, value: undefined });
  }
  return (df) => {
    const group = groups.findLast((one) => one.df <= df) ?? { df, value: undefined };
    return (group.value ??= make(group.df));
  };
}

function compare(means: RemlMeans, { a, b, u }: Pair, family: Family): RemlComparison {
  if (u === undefined) {
    const empty = !means.forms[a] || !means.forms[b];
    const why = empty ? 'no-observations' : 'not-estimable';
    const { estimate: difference, ...nothing } = unknownEstimate(0, why);
    return { a, b, difference, ...nothing };
  }
  const { estimate: difference, se, df, t } = formEstimate(means.precision, u, 0);
  if (difference === undefined || se === undefined || t === undefined) {
    const nothing = { se: undefined, t: undefined, p: undefined, low: undefined, high: undefined };
    return { a, b, difference, df, ...nothing, why: 'not-estimable' };
  }
  const { p, reach } = family(df);
  const half = reach * se;
  const [low, high] = [difference - half, difference + half];
  return { a, b, difference, se, t, df, p: p(Math.abs(t)), low, high, why: undefined };
}

function correlationOf(solved: readonly Float64Array[], covariance: Float64Array): number[][] {
  const lengths = solved.map((u) => Math.sqrt(quadratic(u, covariance, u)));
  return solved.map((u, i) =>
    solved.map((v, j) => {
      // Both ways round alike, so that rounding leaves the matrix symmetric.
      if (i === j) return 1;
      const [first, last] = i < j ? [u, v] : [v, u];
      return quadratic(first, covariance, last) / (lengths[i] * lengths[j]);
    }),
  );
}

/** Errors above this are told to the caller, as in `versusControl`. */
const EXACT = 2e-5;

const methodOf = ({ route, upper }: Dunnett): ControlMethod =>
  route === 'bound' ? 'bound' : upper(2).error <= EXACT ? 'exact' : 'lattice';

type Together = {
  readonly family: Family;
  readonly correlation: readonly (readonly number[])[];
  readonly methodFor: (df: number) => ControlMethod;
};

/** Dunnett's multivariate t of some solved forms, worked out once for each df. */
function together(
  precision: Precision,
  solved: readonly Float64Array[],
  confidence: number,
): Together {
  const correlation = correlationOf(solved, precision.covariance);
  const dfs = solved.map((u) => formDf(precision, u));
  // With nothing to compare nobody asks.
  const largest = oncePerDf(dfs, dunnettByDf(solved.length === 0 ? [[1]] : correlation));
  const family = oncePerDf(dfs, (df) => {
    const one = largest(df);
    return { p: (t: number) => one.upper(t).p, reach: one.quantile(confidence) };
  });
  return { family, correlation, methodFor: (df) => methodOf(largest(df)) };
}

export type RemlControl = {
  readonly control: number;
  readonly comparisons: readonly RemlComparison[];
  readonly correlation: readonly (readonly number[])[];
  /** Two-sided Dunnett quantile by degrees of freedom, for those that occur. */
  readonly quantiles: readonly { readonly df: number; readonly quantile: number }[];
  readonly method: ControlMethod | undefined;
};

/**
 * Each level against the control, p and limits holding for all together: Dunnett's multivariate t
 * with the fitted correlation and, where comparisons have different errors, each its own degrees of
 * freedom.
 */
export function remlVersusControl(means: RemlMeans, control: number): RemlControl {
  const pairs = means.means.flatMap((_, i) => (i === control ? [] : [pairOf(means, i, control)]));
  const solved = pairs.flatMap(({ u }) => (u ? [u] : []));
  const { family, correlation, methodFor } = together(means.precision, solved, means.confidence);
  const comparisons = pairs.map((pair) => compare(means, pair, family));
  const dfs = [...new Set(comparisons.flatMap(({ df, p }) => (p === undefined ? [] : [df])))];
  const methods = dfs.map(methodFor);
  return {
    control,
    comparisons,
    correlation,
    quantiles: dfs.map((df) => ({ df, quantile: family(df).reach })),
    method: (['bound', 'lattice', 'exact'] as const).find((method) => methods.includes(method)),
  };
}

/**
 * Linear contrasts of the fixed effects (see `Weights`), p and limits holding for all of them
 * together as in `remlVersusControl`; each with its own degrees of freedom.
 */
export function remlContrasts(
  precision: Precision,
  weights: readonly Weights[],
  confidence = 0.95,
): Estimate[] {
  const { linear } = precision.fit;
  const forms = weights.map((each) => formOf(linear, each));
  const solved = forms.map((form) =>
    typeof form === 'string' ? undefined : solveForm(linear.triangle, form),
  );
  const { family } = together(
    precision,
    solved.flatMap((u) => u ?? []),
    confidence,
  );
  return forms.map((form, i) => {
    if (typeof form === 'string') return unknownEstimate(0, form);
    const u = solved[i];
    if (u === undefined) return unknownEstimate(0, 'not-estimable');
    const own = formEstimate(precision, u, form[0], confidence);
    if (own.estimate === undefined || own.se === undefined || own.t === undefined) return own;
    const { p, reach } = family(own.df);
    const half = reach * own.se;
    return { ...own, p: p(Math.abs(own.t)), low: own.estimate - half, high: own.estimate + half };
  });
}

export type RemlPairs = {
  /** Levels that take part in at least one estimable difference. */
  readonly levels: number;
  readonly pairs: readonly RemlComparison[];
};

/**
 * Every pair of levels, the earlier minus the later, from the studentised range of as many means,
 * each with its own standard error and degrees of freedom (Kramer 1956 applied to fitted
 * variances): exact where all differences have one error, near it elsewhere.
 */
export function remlAllPairs(means: RemlMeans): RemlPairs {
  const pairs: Pair[] = [];
  const taking = new Set<number>();
  for (let a = 0; a < means.means.length; a++) {
    for (let b = a + 1; b < means.means.length; b++) {
      const pair = pairOf(means, a, b);
      pairs.push(pair);
      if (pair.u) taking.add(a).add(b);
    }
  }
  const levels = taking.size;
  const dfs = pairs.flatMap(({ u }) => (u ? [formDf(means.precision, u)] : []));
  const family = oncePerDf(dfs, (df) => ({
    p: (t: number) => studentizedRangeUpper(t * Math.SQRT2, levels, df),
    reach: studentizedRangeQuantile(means.confidence, levels, df) / Math.SQRT2,
  }));
  return { levels, pairs: pairs.map((pair) => compare(means, pair, family)) };
}

/**
 * Abbott's efficacy 100 (1 - T/C) of each level against the control, as `abbottEfficacy`, with
 * Fieller's interval from the fitted covariance and the degrees of freedom of T - C.
 */
export function remlAbbott(means: RemlMeans, control: number): Efficacy[] {
  const { precision, forms, confidence } = means;
  const { linear } = precision.fit;
  const { covariance } = precision;
  const solved = forms.map((form) => form && solveForm(linear.triangle, form));
  const base = means.means[control];
  return means.means.flatMap(({ level, estimate, why }, i) => {
    if (i === control) return [];
    const nothing = { level, percent: undefined, low: undefined, high: undefined };
    const [t, c] = [solved[i], solved[control]];
    if (!t || !c || estimate === undefined || base.estimate === undefined) {
      return [{ ...nothing, why: why ?? base.why ?? 'not-estimable' }];
    }
    if (base.estimate <= 0) return [{ ...nothing, why: 'control-not-positive' as const }];
    const interval = ratioInterval({
      numerator: estimate,
      denominator: base.estimate,
      varNumerator: quadratic(t, covariance, t),
      varDenominator: quadratic(c, covariance, c),
      covariance: quadratic(t, covariance, c),
      df: formDf(
        precision,
        t.map((weight, k) => weight - c[k]),
      ),
      confidence,
    });
    return [efficacyOfRatio(level, interval)];
  });
}
