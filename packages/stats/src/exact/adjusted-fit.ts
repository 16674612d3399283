import type { LayoutScore } from './totals-fit';

/**
 * The plots seen through their blocks, once for all layouts: blocks do not move when labels do,
 * so everything a layout needs is the block residuals and an orthonormal basis of the blocks.
 */
export type BlockFit = {
  readonly n: number;
  readonly present: Int32Array;
  /** y minus its fit on the blocks (0 at lost plots). */
  readonly residual: Float64Array;
  /** n x rank, row after row (0 at lost plots). */
  readonly basis: Float64Array;
  readonly rank: number;
  /** Residual sum of squares on the blocks alone. */
  readonly ss: number;
  /** Size of rounding noise in a sum of residuals. */
  readonly noise: number;
};

const NOISE_PER_TERM = 8 * Number.EPSILON;

const indicatorColumns = (
  factors: readonly ArrayLike<number>[],
  present: readonly number[],
): Float64Array[] => {
  const columns: Float64Array[] = [new Float64Array(present.length).fill(1)];
  for (const factor of factors) {
    const levels = new Map<number, Float64Array>();
    present.forEach((p, i) => {
      const column = levels.get(factor[p]) ?? new Float64Array(present.length);
      column[i] = 1;
      levels.set(factor[p], column);
    });
    columns.push(...levels.values());
  }
  return columns;
};

const removeProjection = (v: Float64Array, unit: Float64Array): void => {
  let dot = 0;
  for (let i = 0; i < v.length; i++) dot += v[i] * unit[i];
  for (let i = 0; i < v.length; i++) v[i] -= dot * unit[i];
};

const norm = (v: Float64Array): number => Math.sqrt(v.reduce((s, x) => s + x * x, 0));

/** Gram-Schmidt, each column cleaned twice (Giraud et al. 2005: twice is enough). */
const orthonormal = (columns: readonly Float64Array[]): Float64Array[] => {
  const basis: Float64Array[] = [];
  for (const column of columns) {
    const v = column.slice();
    const before = norm(v);
    for (let pass = 0; pass < 2; pass++) for (const u of basis) removeProjection(v, u);
    const after = norm(v);
    if (after > 1e-9 * before) basis.push(v.map((x) => x / after));
  }
  return basis;
};

/**
 * Fits the plot values on any number of block factors (codes per plot; none: the grand mean) and
 * covariates (a number per plot). NaN marks a lost plot.
 */
export function fitBlocks(
  y: Float64Array,
  factors: readonly ArrayLike<number>[],
  covariates: readonly ArrayLike<number>[] = [],
): BlockFit {
  const present = Array.from(y.keys()).filter((p) => !Number.isNaN(y[p]));
  const numbers = covariates.map((values) => Float64Array.from(present, (p) => values[p]));
  const basis = orthonormal([...indicatorColumns(factors, present), ...numbers]);
  const rank = basis.length;
  const e = Float64Array.from(present, (p) => y[p]);
  const largest = e.reduce((m, x) => Math.max(m, Math.abs(x)), 0);
  for (let pass = 0; pass < 2; pass++) for (const u of basis) removeProjection(e, u);
  const residual = new Float64Array(y.length);
  const rows = new Float64Array(y.length * rank);
  present.forEach((p, i) => {
    residual[p] = e[i];
    for (let m = 0; m < rank; m++) rows[p * rank + m] = basis[m][i];
  });
  return {
    n: y.length,
    present: Int32Array.from(present),
    residual,
    basis: rows,
    rank,
    ss: e.reduce((s, x) => s + x * x, 0),
    noise: NOISE_PER_TERM * largest * Math.sqrt(y.length),
  };
}

/**
 * A layout's score with its F and effects. `extreme` is the treatment sum of squares adjusted for
 * blocks, or, where a layout leaves a treatment without plots, the one that would give the same F
 * at the usual degrees of freedom; z is 0 where the layout can't compare two treatments.
 */
export type AdjustedScore = LayoutScore & {
  readonly f: number;
  /** k treatment effects, one of them set to 0. */
  readonly effects: Float64Array;
};

const PIVOT = 1e-9;

/**
 * Symmetric sweep of C (k x k, destroyed) into a generalised inverse: pivots that vanish are
 * left out and their rows are zero. Returns the rank. Goodnight 1979, The American Statistician 33:149.
 */
function sweep(c: Float64Array, k: number, scale: Float64Array): number {
  let rank = 0;
  const out: number[] = [];
  for (let p = 0; p < k; p++) {
    const d = c[p * k + p];
    if (!(d > PIVOT * scale[p])) {
      out.push(p);
      continue;
    }
    rank++;
    for (let i = 0; i < k; i++) {
      if (i === p) continue;
      const ratio = c[i * k + p] / d;
      for (let j = 0; j < k; j++) if (j !== p) c[i * k + j] -= ratio * c[p * k + j];
    }
    for (let i = 0; i < k; i++) {
      if (i === p) continue;
      c[i * k + p] /= d;
      c[p * k + i] /= d;
    }
    c[p * k + p] = -1 / d;
  }
  for (let i = 0; i < k * k; i++) c[i] = -c[i];
  for (const p of out) for (let i = 0; i < k; i++) c[p * k + i] = c[i * k + p] = 0;
  return rank;
}

/** What a layout's labels, without the values, decide: solving for effects and scaling differences. */
export type Geometry = {
  /** Generalised inverse of C, k x k. */
  readonly inverse: Float64Array;
  readonly df: number;
  /** k x k: 1 over the root of a difference's variance factor; 0 where it can't be estimated. */
  readonly scale: Float64Array;
};

/** A difference is estimable where (e_a - e_b)'GC = (e_a - e_b)'. */
const estimable = (
  g: Float64Array,
  c: Float64Array,
  k: number,
): ((a: number, b: number) => boolean) => {
  const h = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let m = 0; m < k; m++)
      for (let j = 0; j < k; j++) h[i * k + j] += g[i * k + m] * c[m * k + j];
  return (a, b) => {
    for (let j = 0; j < k; j++) {
      const want = (j === a ? 1 : 0) - (j === b ? 1 : 0);
      if (Math.abs(h[a * k + j] - h[b * k + j] - want) > 1e-7) return false;
    }
    return true;
  };
};

/** Reduced normal equations C = diag(r) - WW', W the label sums of the block basis. */
export const geometryOf = (fit: BlockFit, labels: ArrayLike<number>, k: number): Geometry => {
  const { present, basis, rank } = fit;
  const r = new Float64Array(k);
  const w = new Float64Array(k * rank);
  for (const p of present) {
    const l = labels[p];
    r[l]++;
    for (let m = 0; m < rank; m++) w[l * rank + m] += basis[p * rank + m];
  }
  const c = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j <= i; j++) {
      let dot = i === j ? r[i] : 0;
      for (let m = 0; m < rank; m++) dot -= w[i * rank + m] * w[j * rank + m];
      c[i * k + j] = c[j * k + i] = dot;
    }
  const inverse = c.slice();
  const df = sweep(inverse, k, r);
  const allowed = df === k - 1 ? () => true : estimable(inverse, c, k);
  const scale = new Float64Array(k * k);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < a; b++) {
      const v = inverse[a * k + a] + inverse[b * k + b] - 2 * inverse[a * k + b];
      if (v > PIVOT && allowed(a, b)) scale[a * k + b] = scale[b * k + a] = 1 / Math.sqrt(v);
    }
  return { inverse, df, scale };
};

/** Geometries kept at most: with few lost plots there are few, whatever the number of layouts. */
const mostKept = 4096;

/**
 * The geometry of any layout. Where every layout has the same labels in each block (`blocksKeep`),
 * it depends on the labels of the lost plots alone, and is worked out once for each set of them.
 */
function geometries(fit: BlockFit, k: number, blocksKeep: boolean) {
  const present = new Set(fit.present);
  const lost = Array.from({ length: fit.n }, (_, p) => p).filter((p) => !present.has(p));
  if (!blocksKeep || k ** lost.length > mostKept) {
    return (labels: ArrayLike<number>) => geometryOf(fit, labels, k);
  }
  const kept: (Geometry | undefined)[] = [];
  return (labels: ArrayLike<number>): Geometry => {
    let key = 0;
    for (const p of lost) key = key * k + labels[p];
    return (kept[key] ??= geometryOf(fit, labels, k));
  };
}

/**
 * Scorer for any layout of k treatments over these blocks, also with lost plots: reduced normal
 * equations C t = Q, Q the label sums of the block residuals (Searle 1971, Linear Models, 7.2).
 * `blocksKeep` says that all layouts asked about have the same labels in each block. The score's
 * arrays are reused.
 */
export function layoutScorer(
  fit: BlockFit,
  k: number,
  blocksKeep = false,
): (labels: ArrayLike<number>) => AdjustedScore {
  const { present, residual, rank, ss } = fit;
  const geometry = geometries(fit, k, blocksKeep);
  const q = new Float64Array(k);
  const z = new Float64Array(k * k);
  const score = { extreme: 0, f: 0, top: 0, z, effects: new Float64Array(k) };
  const { effects } = score;
  const usual = { treatments: k - 1, error: present.length - rank - (k - 1) };
  return (labels) => {
    const { inverse, df, scale } = geometry(labels);
    q.fill(0);
    for (const p of present) q[labels[p]] += residual[p];
    let treated = 0;
    for (let i = 0; i < k; i++) {
      let t = 0;
      for (let j = 0; j < k; j++) t += inverse[i * k + j] * q[j];
      effects[i] = t;
      treated += t * q[i];
    }
    score.top = 0;
    for (let a = 1; a < k; a++)
      for (let b = 0; b < a; b++) {
        const d = Math.abs(effects[a] - effects[b]) * scale[a * k + b];
        z[a * k + b] = z[b * k + a] = d;
        if (d > score.top) score.top = d;
      }
    score.f = fRatio(treated, ss, df, present.length - rank - df);
    score.extreme = df === usual.treatments ? treated : sumOfSquaresFor(score.f, ss, usual);
    return score;
  };
}

/** F of a treatment sum of squares out of the total within blocks; 0 where it has no meaning. */
function fRatio(treated: number, total: number, df: number, dfError: number): number {
  if (df <= 0 || dfError <= 0) return 0;
  const error = total - treated;
  return error <= 1e-14 * total ? Infinity : treated / df / (error / dfError);
}

const sumOfSquaresFor = (
  f: number,
  total: number,
  df: { readonly treatments: number; readonly error: number },
): number =>
  f === Infinity ? total : (total * f * df.treatments) / (f * df.treatments + df.error);
