import { fUpper } from '../distributions/fisher';
import { designMatrix, layOutDesign } from './design';
import type { Design, Term } from './design';
import { triangulate } from './householder';
import type { Triangle } from './householder';
import { isNothing, largestAbsolute } from './spread';
import type { Spread } from './spread';

/** `ms`, `f` and `p` are undefined where degrees of freedom or residual variation are lacking. */
export type AnovaRow = {
  readonly source: string;
  readonly df: number;
  readonly ss: number;
  readonly ms: number | undefined;
  readonly f: number | undefined;
  readonly p: number | undefined;
};

/** A column that repeats earlier ones: its level, or no level for a covariate. */
export type Aliased = { readonly term: string; readonly level: string | undefined };

export type LinearFit = {
  readonly n: number;
  readonly rank: number;
  /** One row for each term in the order given, each adjusted for those before it; then `residual`. */
  readonly anova: readonly AnovaRow[];
  readonly spread: Spread;
  readonly fitted: Float64Array;
  readonly residuals: Float64Array;
  /** Expected for an interaction; elsewhere it means the layout cannot part these effects. */
  readonly aliased: readonly Aliased[];
  readonly emptyLevels: readonly { readonly term: string; readonly level: string }[];
  readonly y: Float64Array;
  readonly yMean: number;
  readonly design: Design;
  readonly triangle: Triangle;
};

type Response = { readonly y: Float64Array; readonly mean: number; readonly scale: number };

function readResponse(given: ArrayLike<number>): Response {
  const y = Float64Array.from(given);
  if (y.length === 0) throw new RangeError('y must hold at least 1 value; got 0');
  let sum = 0;
  for (let i = 0; i < y.length; i++) {
    if (!Number.isFinite(y[i])) {
      throw new RangeError(`y must be finite, lost plots left out; got ${y[i]} for value ${i}`);
    }
    sum += y[i];
  }
  return { y, mean: sum / y.length, scale: largestAbsolute(y) };
}

// The mean comes off first: the fit is the same, and a large mean costs no digits.
function triangulateAround(design: Design, { y, mean }: Response): Triangle {
  const centred = new Float64Array(y.length);
  for (let i = 0; i < y.length; i++) centred[i] = y[i] - mean;
  return triangulate(designMatrix(design), centred);
}

function spreadOf(triangle: Triangle, response: Response): Spread {
  const n = response.y.length;
  const df = n - triangle.rank;
  if (df === 0) return { known: false, df, why: 'no-residual-df' };
  if (isNothing(triangle.residualSs, n, response.scale)) {
    let total = 0;
    for (const value of response.y) total += (value - response.mean) ** 2;
    const why = isNothing(total, n, response.scale) ? 'no-variation' : 'perfect-fit';
    return { known: false, df, why };
  }
  const ms = triangle.residualSs / df;
  return { known: true, df, ms, sd: Math.sqrt(ms) };
}

type Fitted = {
  readonly design: Design;
  readonly triangle: Triangle;
  readonly response: Response;
  readonly spread: Spread;
};

function termRow(fitted: Fitted, index: number): AnovaRow {
  const { design, triangle, response, spread } = fitted;
  const { term, from, to } = design.terms[index];
  let df = 0;
  let ss = 0;
  for (let j = from; j < to; j++) {
    const k = triangle.place[j];
    if (k < 0) continue;
    df++;
    ss += triangle.effects[k] ** 2;
  }
  if (isNothing(ss, response.y.length, response.scale)) ss = 0;
  const ms = df > 0 ? ss / df : undefined;
  const f = ms !== undefined && spread.known ? ms / spread.ms : undefined;
  const p = f === undefined ? undefined : fUpper(f, df, spread.df);
  return { source: term.name, df, ss, ms, f, p };
}

function residualRow({ triangle, spread, response }: Fitted): AnovaRow {
  const nothing = isNothing(triangle.residualSs, response.y.length, response.scale);
  const ss = nothing ? 0 : triangle.residualSs;
  const ms = spread.df > 0 ? ss / spread.df : undefined;
  return { source: 'residual', df: spread.df, ss, ms, f: undefined, p: undefined };
}

function aliasedColumns(design: Design, triangle: Triangle): Aliased[] {
  return design.terms.flatMap(({ term, from, columnOf }): Aliased[] => {
    if (term.kind === 'covariate') {
      return triangle.place[from] < 0 ? [{ term: term.name, level: undefined }] : [];
    }
    return term.levels
      .filter((_, i) => columnOf[i] >= 0 && triangle.place[columnOf[i]] < 0)
      .map((level) => ({ term: term.name, level }));
  });
}

function emptyLevelsOf(design: Design): { term: string; level: string }[] {
  return design.terms.flatMap(({ term, counts }) =>
    term.kind === 'covariate'
      ? []
      : term.levels.filter((_, i) => counts[i] === 0).map((level) => ({ term: term.name, level })),
  );
}

/**
 * Least squares of `y` (one value for each plot) on an intercept and `terms`, in the order given.
 * Unequal replication, empty cells, empty levels and terms that repeat one another are all allowed;
 * what cannot be told apart is named in `aliased`. A Latin square is three factors; an analysis of
 * covariance has a covariate among the factors.
 *
 * Sums of squares are sequential (each term adjusted for those before it; Searle 1971, Linear
 * Models, section 6.3); `adjustedRow` gives a term adjusted for all the others. Where no residual
 * variation is known, F and p are undefined and `spread` says why (see NOTHING for the rule).
 *
 * @throws RangeError for input that is no data: see `layOutDesign`; y empty or not finite.
 */
export function fitLinear(input: {
  readonly y: ArrayLike<number>;
  readonly terms: readonly Term[];
}): LinearFit {
  const response = readResponse(input.y);
  const { y } = response;
  const design = layOutDesign(y.length, input.terms);
  const triangle = triangulateAround(design, response);
  const parts = { design, triangle, response, spread: spreadOf(triangle, response) };
  const { residuals } = triangle;
  const fitted = new Float64Array(y.length);
  for (let i = 0; i < y.length; i++) fitted[i] = y[i] - residuals[i];
  return {
    n: y.length,
    rank: triangle.rank,
    anova: [...design.terms.map((_, i) => termRow(parts, i)), residualRow(parts)],
    spread: parts.spread,
    fitted,
    residuals,
    aliased: aliasedColumns(design, triangle),
    emptyLevels: emptyLevelsOf(design),
    y,
    yMean: response.mean,
    design,
    triangle,
  };
}

/** Where the term called `name` stands in the fit's order. @throws RangeError when there is none. */
export function termIndex(fit: LinearFit, name: string): number {
  const index = fit.design.terms.findIndex(({ term }) => term.name === name);
  if (index < 0) throw new RangeError(`the fit has no term ${name}`);
  return index;
}

/**
 * The anova row of one term adjusted for all the others (its partial, or marginal, F): the model is
 * fitted again with that term last. The same as the sequential row when it is last already.
 */
export function adjustedRow(fit: LinearFit, name: string): AnovaRow {
  const index = termIndex(fit, name);
  const last = fit.design.terms.length - 1;
  if (index === last) return fit.anova[last];
  const terms = fit.design.terms.map(({ term }) => term);
  terms.push(...terms.splice(index, 1));
  const response = { y: fit.y, mean: fit.yMean, scale: largestAbsolute(fit.y) };
  const design = layOutDesign(fit.n, terms);
  const triangle = triangulateAround(design, response);
  return termRow({ design, triangle, response, spread: fit.spread }, last);
}
