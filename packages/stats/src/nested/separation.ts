import { inversePositive, quadratic } from '../mixed/dense';
import type { PooledRows } from './rows';
import { newFreeSolver, solveFree, type FreeSolver } from './free-solve';

/** Counts of a design's cells, groups ignored: what a search starts from and separation shows in. */
export type CellCounts = {
  readonly pooled: PooledRows;
  readonly y: Float64Array;
  readonly n: Float64Array;
  readonly separated: Uint8Array;
  readonly normal: Float64Array;
  readonly right: Float64Array;
  readonly solver: FreeSolver;
};

export const newCellCounts = (pooled: PooledRows): CellCounts => ({
  pooled,
  y: new Float64Array(pooled.cells),
  n: new Float64Array(pooled.cells),
  separated: new Uint8Array(pooled.cells),
  normal: new Float64Array(pooled.columns ** 2),
  right: new Float64Array(pooled.columns),
  solver: newFreeSolver(pooled.columns),
});

export const countCells = (c: CellCounts, y: Float64Array, n: Float64Array): void => {
  const { cell, count } = c.pooled;
  c.y.fill(0);
  c.n.fill(0);
  for (let i = 0; i < count; i++) {
    c.y[cell[i]] += y[i];
    c.n[cell[i]] += n[i];
  }
};

/** Coefficients by weighted least squares on the cells' empirical logits (half a leaf added). */
export const startCoefficients = (c: CellCounts, into: Float64Array): void => {
  const { cells, columns, cellDesign } = c.pooled;
  c.normal.fill(0);
  c.right.fill(0);
  for (let k = 0; k < cells; k++) {
    const yes = c.y[k] + 0.5;
    const no = c.n[k] - c.y[k] + 0.5;
    const weight = (yes * no) / (yes + no);
    const logit = Math.log(yes / no);
    for (let i = 0; i < columns; i++) {
      const x = weight * cellDesign[k * columns + i];
      c.right[i] += x * logit;
      for (let j = 0; j < columns; j++)
        c.normal[i * columns + j] += x * cellDesign[k * columns + j];
    }
  }
  solveFree(c.solver, c.normal, c.right, into);
};

/** A fitted logit with a standard error beyond this is running off to infinity. */
const RUNAWAY_SE = 30;

const fittedLogits = (pooled: PooledRows, beta: Float64Array) =>
  Float64Array.from({ length: pooled.cells }, (_, k) => {
    let sum = 0;
    for (let j = 0; j < pooled.columns; j++) {
      sum += pooled.cellDesign[k * pooled.columns + j] * beta[j];
    }
    return sum;
  });

const information = (pooled: PooledRows, n: Float64Array, eta: Float64Array): Float64Array => {
  const p = pooled.columns;
  const h = new Float64Array(p * p);
  for (let k = 0; k < eta.length; k++) {
    const e = Math.exp(-Math.abs(eta[k]));
    const weight = (n[k] * e) / (1 + e) ** 2;
    for (let i = 0; i < p; i++) {
      for (let j = 0; j < p; j++) {
        h[i * p + j] += weight * pooled.cellDesign[k * p + i] * pooled.cellDesign[k * p + j];
      }
    }
  }
  return h;
};

/** Newton steps of the plain logit model; where it separates, logits grow by about 1 a step. */
const MOST_STEPS = 30;

const findSeparated = (c: CellCounts): void => {
  const { pooled } = c;
  const beta = new Float64Array(pooled.columns);
  const step = new Float64Array(pooled.columns);
  startCoefficients(c, beta);
  let eta = fittedLogits(pooled, beta);
  let largest = Infinity;
  for (let i = 0; i < MOST_STEPS && largest > 1e-8; i++) {
    c.right.fill(0);
    for (let k = 0; k < pooled.cells; k++) {
      const residual = c.y[k] - c.n[k] / (1 + Math.exp(-eta[k]));
      for (let j = 0; j < pooled.columns; j++) {
        c.right[j] += residual * pooled.cellDesign[k * pooled.columns + j];
      }
    }
    solveFree(c.solver, information(pooled, c.n, eta), c.right, step);
    largest = 0;
    for (const v of step) largest = Math.max(largest, Math.abs(v));
    const share = Math.min(1, 3 / largest);
    for (let j = 0; j < beta.length; j++) beta[j] += share * step[j];
    eta = fittedLogits(pooled, beta);
  }
  const inverse = inversePositive(information(pooled, c.n, eta), pooled.columns);
  for (let k = 0; k < pooled.cells; k++) {
    const x = pooled.cellDesign.subarray(k * pooled.columns, (k + 1) * pooled.columns);
    c.separated[k] = inverse && quadratic(x, inverse, x) < RUNAWAY_SE ** 2 ? 0 : 1;
  }
};

/**
 * Marks the cells whose logit has no finite estimate and says whether there are any. Where each cell
 * has a logit of its own those are the cells all diseased or all healthy.
 */
export const separates = (c: CellCounts): boolean => {
  if (!c.pooled.saturated) findSeparated(c);
  let any = false;
  for (let k = 0; k < c.pooled.cells; k++) {
    if (c.pooled.saturated) c.separated[k] = c.y[k] === 0 || c.y[k] === c.n[k] ? 1 : 0;
    if (c.separated[k]) any = true;
  }
  return any;
};

/**
 * Pseudo-counts against separation: one leaf for each coefficient, shared over the cells, half
 * diseased and half healthy (Clogg, Rubin, Schenker, Schultz & Weidman 1991, JASA 86:68-78).
 */
export const pseudoWeight = ({ columns, cells }: PooledRows): number =>
  Math.max(columns, 1) / cells / 2;
