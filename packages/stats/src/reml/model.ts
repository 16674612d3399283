import type { Term } from '../linear/design';
import { designMatrix } from '../linear/design';
import { fitLinear, type LinearFit } from '../linear/fit';
import { solveForm } from '../linear/householder';
import type { Missing } from '../linear/spread';
import { mergedGroupings, type LeftOut, type RandomTerm } from './groupings';
import { type Serial, serialOf, type SerialTimes } from './serial';

export type RemlInput = {
  /** One value for each row. */
  readonly y: ArrayLike<number>;
  /** Fixed effects beside the intercept, in order. */
  readonly terms: readonly Term[];
  /** Random intercepts, nested or crossed: the level of each row. */
  readonly random: readonly RandomTerm[];
  /** Rows of one subject follow each other in time; their residuals fade with the gap. */
  readonly serial?: SerialTimes | undefined;
  /**
   * How widely each row scatters beside the others, taken as known: its covariances with others are
   * those of the model times both. 1 for all where left out.
   */
  readonly spread?: ArrayLike<number> | undefined;
  /** Maximum likelihood where differences in fixed effects are to be compared; else `reml`. */
  readonly method?: 'reml' | 'ml' | undefined;
  /**
   * Let variance components fall below zero as far as the covariance of the rows stays possible
   * (compound symmetry in place of a true random effect): then balanced trials give the classical
   * strata in every case. Without it they stop at zero.
   */
  readonly belowZero?: boolean | undefined;
};

/**
 * Rows that hang together by any random term or subject: the covariance of the rows is zero
 * between parts, so all work is done part by part.
 */
export type Part = {
  /** Parts of one kind have the same covariance, row by row. */
  readonly kind: number;
  readonly rows: Int32Array;
  readonly size: number;
  /** For each random term the level of each row, numbered from 0 within the part. */
  readonly codes: readonly Int32Array[];
  readonly levels: readonly number[];
  /** Gaps in time between rows of one subject, size x size; -1 between subjects. */
  readonly gaps: Float64Array | undefined;
  /** Rows of an orthonormal basis of the fixed effects, size x p; divided by their spread. */
  readonly q: Float64Array;
  /** Less their mean, divided by their spread. */
  readonly y: Float64Array;
  readonly spread: Float64Array;
};

export type Model = {
  readonly n: number;
  /** Rank of the fixed effects. */
  readonly p: number;
  /** Least squares of the same fixed effects: its columns, and the means of its levels. */
  readonly linear: LinearFit;
  readonly parts: readonly Part[];
  readonly random: readonly RandomTerm[];
  /** Random terms that this layout can't tell from others, and why. */
  readonly leftOut: readonly LeftOut[];
  readonly serial: Serial | undefined;
  /** Variance parameters: one for each random term, the residual's, and rho where there is one. */
  readonly size: number;
  readonly reml: boolean;
  readonly belowZero: boolean;
  /** log |X'X| of the fixed columns as written, which the basis has taken out. */
  readonly logDetFixed: number;
  /** What rows that scatter unlike add to log |V|. */
  readonly logDetSpread: number;
};

/** A basis of the fixed effects with Q'Q = 1: row i solves R'q = x. n x p, row-major. */
function basisOf({ design, triangle, n }: LinearFit): Float64Array {
  const matrix = designMatrix(design);
  const basis = new Float64Array(n * triangle.rank);
  const row = new Float64Array(design.columns);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < design.columns; j++) row[j] = matrix[j * n + i];
    const u = solveForm(triangle, row);
    if (u !== undefined) basis.set(u, i * triangle.rank);
  }
  return basis;
}

function logDetOf({ triangle }: LinearFit): number {
  let sum = 0;
  for (let j = 0; j < triangle.columns; j++) {
    const k = triangle.place[j];
    if (k >= 0) sum += 2 * Math.log(Math.abs(triangle.r[j * triangle.rank + k]));
  }
  return sum;
}

/** Part of every row, numbered in order of first appearance. */
function partsOf(n: number, groupings: readonly ArrayLike<number>[]): Int32Array {
  const parent = Int32Array.from({ length: n }, (_, i) => i);
  const find = (i: number): number => {
    while (parent[i] !== i) i = parent[i] = parent[parent[i]];
    return i;
  };
  for (const codes of groupings) {
    const first = new Map<number, number>();
    for (let i = 0; i < n; i++) {
      const seen = first.get(codes[i]);
      if (seen === undefined) first.set(codes[i], i);
      else parent[find(i)] = find(seen);
    }
  }
  const numbers = new Map<number, number>();
  return Int32Array.from({ length: n }, (_, i) => {
    const root = find(i);
    const number = numbers.get(root) ?? numbers.size;
    numbers.set(root, number);
    return number;
  });
}

function renumbered(codes: ArrayLike<number>, rows: Int32Array): [Int32Array, number] {
  const numbers = new Map<number, number>();
  const within = rows.map((i) => {
    const number = numbers.get(codes[i]) ?? numbers.size;
    numbers.set(codes[i], number);
    return number;
  });
  return [within, numbers.size];
}

type Cut = {
  readonly basis: Float64Array;
  readonly p: number;
  readonly y: Float64Array;
  readonly random: readonly RandomTerm[];
  readonly serial: Serial | undefined;
  readonly spread: Float64Array;
};

function partOf(rows: Int32Array, cut: Cut, kinds: Map<string, number>): Part {
  const { basis, p, y, random, serial, spread } = cut;
  const size = rows.length;
  const within = random.map(({ codes }) => renumbered(codes, rows));
  const q = new Float64Array(size * p);
  rows.forEach((row, a) => {
    for (let j = 0; j < p; j++) q[a * p + j] = basis[row * p + j] / spread[row];
  });
  const gaps = serial?.gapsOf(rows);
  const key = `${size} ${within.map(([codes]) => codes.join()).join(' ')} ${gaps?.join() ?? ''}`;
  const kind = kinds.get(key) ?? kinds.size;
  kinds.set(key, kind);
  return {
    kind,
    rows,
    size,
    codes: within.map(([codes]) => codes),
    levels: within.map(([, levels]) => levels),
    gaps,
    q,
    y: Float64Array.from(rows, (row) => y[row] / spread[row]),
    spread: Float64Array.from(rows, (row) => spread[row]),
  };
}

function spreadOf(given: ArrayLike<number> | undefined, n: number): Float64Array {
  const spread = given ? Float64Array.from(given) : new Float64Array(n).fill(1);
  if (spread.length !== n || !spread.every((s) => s > 0 && s < Infinity)) {
    throw new RangeError(`spread must be ${n} finite numbers above 0`);
  }
  return spread;
}

export type ModelOf =
  | { readonly known: true; readonly model: Model }
  | { readonly known: false; readonly why: Missing; readonly linear: LinearFit };

/**
 * Lays out a mixed model, or says why no variance can be known from such values.
 *
 * @throws RangeError for input that is no data: see `fitLinear`; codes or times of another length.
 */
export function layOutModel(input: RemlInput): ModelOf {
  const linear = fitLinear({ y: input.y, terms: input.terms });
  if (!linear.spread.known) return { known: false, why: linear.spread.why, linear };
  const { n, rank: p } = linear;
  const serial = input.serial && serialOf(input.serial, n);
  const basis = basisOf(linear);
  const { kept, leftOut } = mergedGroupings(input.random, { n, p, basis, serial });
  const groupings = [...kept.map(({ codes }) => codes), ...(serial ? [serial.subject] : [])];
  const part = partsOf(n, groupings);
  const y = linear.y.map((value) => value - linear.yMean);
  const spread = spreadOf(input.spread, n);
  const cut: Cut = { basis, p, y, random: kept, serial, spread };
  const count = n === 0 ? 0 : Math.max(...part) + 1;
  const kinds = new Map<string, number>();
  const rowsOf: number[][] = Array.from({ length: count }, () => []);
  part.forEach((c, i) => rowsOf[c].push(i));
  const model: Model = {
    n,
    p,
    linear,
    parts: rowsOf.map((rows) => partOf(Int32Array.from(rows), cut, kinds)),
    random: kept,
    leftOut,
    serial,
    size: kept.length + 1 + (serial ? 1 : 0),
    reml: input.method !== 'ml',
    belowZero: input.belowZero === true,
    logDetFixed: logDetOf(linear),
    logDetSpread: 2 * spread.reduce((sum, s) => sum + Math.log(s), 0),
  };
  return { known: true, model };
}
