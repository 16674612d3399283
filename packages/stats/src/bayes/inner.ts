import { cholesky } from '../mixed/dense';
import { fillCurvature, type GroupLayout, layOutGroups } from '../mixed/groups';
import { factorise, invertOnPattern, logDeterminant, solveInPlace } from '../mixed/sparse';
import type { Hierarchy } from './hierarchy';
import { emptyRowCurves, type RowCurves } from './response';

/** The search ends where a Newton step promises to raise the log-posterior by less than half this. */
const STILL = 1e-8;
/** The same for one point among thousands; the promise is added. */
const STILL_ENOUGH = 1e-5;
const MOST_STEPS = 60;

/** The posterior at fixed standard deviations, near its mode. */
export type JointMode = {
  /** Log of its integral over means and effects by Laplace's method, spread priors left out. */
  readonly logIntegral: number;
  readonly means: Float64Array;
  /** Where the means lie on average: their mode, moved by the slope of the effects' determinant. */
  readonly centre: Float64Array;
  readonly effects: Float64Array;
  /** Lower Cholesky factor of the means' precision, effects integrated out. */
  readonly root: Float64Array;
  /** By how much each effect falls for each unit of each mean: effects by treatments. */
  readonly response: Float64Array;
};

export type InnerSolver = {
  readonly joint: (sd: Float64Array, start?: JointMode) => JointMode | undefined;
  /** Log of the integral over the effects at fixed standard deviations and means, prior included. */
  readonly conditional: (sd: Float64Array, means: Float64Array, near: JointMode) => number;
};

type State = {
  readonly h: Hierarchy;
  readonly layout: GroupLayout;
  readonly curves: RowCurves;
  readonly eta: Float64Array;
  readonly u: Float64Array;
  readonly means: Float64Array;
  readonly stepU: Float64Array;
  readonly stepMeans: Float64Array;
  readonly priorSlope: Float64Array;
  readonly precision: Float64Array;
  readonly cross: readonly Float64Array[];
  /** Slopes of the log-posterior by each effect and each mean. */
  readonly slope: Float64Array;
  readonly slopeMeans: Float64Array;
  /** Finest grouping: sums of third and fourth derivatives by group. */
  readonly fine:
    | { readonly term: number; readonly third: Float64Array; readonly fourth: Float64Array }
    | undefined;
};

const newState = (h: Hierarchy): State => {
  const rows = h.response.rows;
  const layout = layOutGroups(h.terms, rows);
  const size = layout.factor.size;
  const term = layout.offsets.findIndex((offset) => offset === 0);
  const groups = term < 0 ? 0 : h.terms[term].size;
  return {
    h,
    layout,
    curves: emptyRowCurves(rows),
    eta: new Float64Array(rows),
    u: new Float64Array(size),
    means: new Float64Array(h.treatments),
    stepU: new Float64Array(size),
    stepMeans: new Float64Array(h.treatments),
    priorSlope: new Float64Array(h.treatments),
    slope: new Float64Array(size),
    slopeMeans: new Float64Array(h.treatments),
    precision: new Float64Array(h.treatments * h.treatments),
    cross: Array.from({ length: h.treatments }, () => new Float64Array(size)),
    fine:
      term < 0
        ? undefined
        : { term, third: new Float64Array(groups), fourth: new Float64Array(groups) },
  };
};

/** Log-posterior (up to constants) at the means and effects in the state; fills the curves. */
const valueHere = (s: State, sd: Float64Array): number => {
  const { h, layout, eta, u, means, priorSlope } = s;
  const T = h.treatments;
  for (let i = 0; i < eta.length; i++) eta[i] = means[h.treatment[i]];
  for (let k = 0; k < layout.nodes.length; k++) {
    const node = layout.nodes[k];
    const d = sd[k];
    for (let i = 0; i < eta.length; i++) eta[i] += d * u[node[i]];
  }
  let value = h.response.evaluate(eta, sd[sd.length - 1], s.curves);
  for (let k = 0; k < u.length; k++) value -= (u[k] * u[k]) / 2;
  for (let a = 0; a < T; a++) {
    let slope = 0;
    for (let b = 0; b < T; b++) slope += h.precision[a * T + b] * (means[b] - h.centre[b]);
    priorSlope[a] = slope;
    value -= (slope * (means[a] - h.centre[a])) / 2;
  }
  return value;
};

const factorHere = (s: State, sd: Float64Array): void => {
  fillCurvature(s.layout, sd, s.curves.weight);
  factorise(s.layout.factor);
  const { stepU, u } = s;
  for (let k = 0; k < u.length; k++) stepU[k] = -u[k];
  const { first } = s.curves;
  for (let k = 0; k < s.layout.nodes.length; k++) {
    const node = s.layout.nodes[k];
    const d = sd[k];
    for (let i = 0; i < first.length; i++) stepU[node[i]] += d * first[i];
  }
  s.slope.set(stepU);
};

/**
 * What Laplace's method misses of the finest groups, each an integral in one variable given the
 * coarser ones: log(1 + h4 / (8 c^2) + 5 h3^2 / (24 c^3)), c the curvature, h3 and h4 the next
 * derivatives (Tierney & Kadane 1986, JASA 81:82-86, the term of order 1 / n).
 */
const fineCorrection = (s: State, sd: Float64Array): number => {
  if (!s.fine) return 0;
  const { term, third, fourth } = s.fine;
  const codes = s.h.terms[term].codes;
  const d = sd[term];
  third.fill(0);
  fourth.fill(0);
  for (let i = 0; i < codes.length; i++) {
    third[codes[i]] += s.curves.third[i];
    fourth[codes[i]] += s.curves.fourth[i];
  }
  let sum = 0;
  for (let g = 0; g < third.length; g++) {
    const c = s.layout.factor.diagonal[g];
    const h3 = d * d * d * third[g];
    const h4 = d * d * d * d * fourth[g];
    sum += Math.log1p(Math.max(-0.5, h4 / (8 * c * c) + (5 * h3 * h3) / (24 * c * c * c)));
  }
  return sum;
};

/** The means' precision with effects integrated out; into `columns`, how effects answer to means. */
const eliminate = (s: State, sd: Float64Array, columns: readonly Float64Array[]): Float64Array => {
  const { h, layout, curves, precision, cross } = s;
  const T = h.treatments;
  const rows = s.eta.length;
  precision.set(h.precision);
  for (let i = 0; i < rows; i++) precision[h.treatment[i] * (T + 1)] += curves.weight[i];
  for (let a = 0; a < T; a++) columns[a].fill(0);
  for (let k = 0; k < layout.nodes.length; k++) {
    const node = layout.nodes[k];
    for (let i = 0; i < rows; i++) columns[h.treatment[i]][node[i]] += sd[k] * curves.weight[i];
  }
  for (let a = 0; a < T; a++) {
    cross[a].set(columns[a]);
    solveInPlace(layout.factor, columns[a]);
  }
  for (let a = 0; a < T; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let k = 0; k < s.u.length; k++) sum += cross[a][k] * columns[b][k];
      precision[a * T + b] -= sum;
      if (a !== b) precision[b * T + a] -= sum;
    }
  }
  return precision;
};

/** Solves R R' x = b in place. */
export const solveRoot = (root: Float64Array, b: Float64Array): void => {
  const n = b.length;
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) b[i] -= root[i * n + k] * b[k];
    b[i] /= root[i * n + i];
  }
  solveRootTransposed(root, b);
};

/** Solves R' x = b in place. */
export const solveRootTransposed = (root: Float64Array, b: Float64Array): void => {
  const n = b.length;
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) b[i] -= root[k * n + i] * b[k];
    b[i] /= root[i * n + i];
  }
};

/** Newton's direction for means and effects together; the root of the means' precision. */
const jointStep = (s: State, sd: Float64Array, columns: Float64Array[]) => {
  factorHere(s, sd);
  const root = cholesky(eliminate(s, sd, columns), s.h.treatments);
  if (!root) return undefined;
  const { stepMeans, stepU } = s;
  for (let a = 0; a < stepMeans.length; a++) stepMeans[a] = -s.priorSlope[a];
  for (let i = 0; i < s.eta.length; i++) stepMeans[s.h.treatment[i]] += s.curves.first[i];
  s.slopeMeans.set(stepMeans);
  columns.forEach((column, a) => {
    for (let k = 0; k < stepU.length; k++) stepMeans[a] -= column[k] * stepU[k];
  });
  solveRoot(root, stepMeans);
  solveInPlace(s.layout.factor, stepU);
  columns.forEach((column, a) => {
    for (let k = 0; k < stepU.length; k++) stepU[k] -= column[k] * stepMeans[a];
  });
  return root;
};

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k] * b[k];
  return sum;
};

/** Goes along the step, halved while the value falls; returns the value reached. */
const advance = (s: State, sd: Float64Array, from: number): number => {
  let length = 1;
  let shift = 1;
  for (let halving = 0; halving < 40; halving++) {
    for (let a = 0; a < s.means.length; a++) s.means[a] += shift * s.stepMeans[a];
    for (let k = 0; k < s.u.length; k++) s.u[k] += shift * s.stepU[k];
    const value = valueHere(s, sd);
    if (value >= from - 1e-9 * (1 + Math.abs(from))) return value;
    shift = -length / 2;
    length /= 2;
  }
  return valueHere(s, sd);
};

const logRoot = (root: Float64Array, n: number): number => {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(root[i * n + i]);
  return sum;
};

/** Variance of each row's effects together at fixed means, after `invertOnPattern`. */
const rowVariances = (s: State, sd: Float64Array): Float64Array => {
  const { factor, nodes, pairs } = s.layout;
  const variance = new Float64Array(s.eta.length);
  for (let k = 0; k < nodes.length; k++) {
    for (let i = 0; i < variance.length; i++) {
      variance[i] += sd[k] * sd[k] * factor.inverseDiagonal[nodes[k][i]];
    }
  }
  for (const { a, b, lower } of pairs) {
    for (let i = 0; i < variance.length; i++) {
      variance[i] += 2 * sd[a] * sd[b] * factor.inverseLower[lower[i]];
    }
  }
  return variance;
};

/**
 * How far the means lie from their joint mode once effects are integrated out: their covariance
 * times the slope of minus half the log-determinant, half the sum over rows of variance times third
 * derivative times the row's answer to each mean.
 */
const shiftOfMeans = (
  s: State,
  sd: Float64Array,
  columns: readonly Float64Array[],
  root: Float64Array,
): { readonly shift: Float64Array; readonly gain: number } => {
  invertOnPattern(s.layout.factor);
  const variance = rowVariances(s, sd);
  const slope = new Float64Array(columns.length);
  const { nodes } = s.layout;
  for (let i = 0; i < variance.length; i++) {
    const push = (variance[i] * s.curves.third[i]) / 2;
    slope[s.h.treatment[i]] += push;
    for (let k = 0; k < nodes.length; k++) {
      const part = push * sd[k];
      for (let a = 0; a < slope.length; a++) slope[a] -= part * columns[a][nodes[k][i]];
    }
  }
  const shift = slope.slice();
  solveRoot(root, shift);
  const gain = dot(slope, shift) / 2;
  // Beyond a third of a standard deviation for each mean it is no small correction any more.
  return gain > slope.length / 16 ? { shift: shift.fill(0), gain: 0 } : { shift, gain };
};

const jointMode = (s: State, sd: Float64Array, start: JointMode | undefined) => {
  const T = s.h.treatments;
  const size = s.u.length;
  if (start) s.u.set(start.effects);
  else s.u.fill(0);
  s.means.set(start ? start.means : s.h.centre);
  const columns = Array.from({ length: T }, () => new Float64Array(size));
  let value = valueHere(s, sd);
  for (let iteration = 0; iteration < MOST_STEPS; iteration++) {
    const root = jointStep(s, sd, columns);
    if (!root) return undefined;
    const gain = dot(s.slopeMeans, s.stepMeans) + dot(s.slope, s.stepU);
    if (!Number.isFinite(gain)) return undefined;
    if (gain < STILL) {
      const response = new Float64Array(size * T);
      columns.forEach((column, a) => {
        for (let k = 0; k < size; k++) response[k * T + a] = column[k];
      });
      const { shift, gain: beyond } = shiftOfMeans(s, sd, columns, root);
      return {
        logIntegral:
          value +
          beyond -
          logDeterminant(s.layout.factor) / 2 -
          logRoot(root, T) +
          (T / 2) * Math.log(2 * Math.PI) +
          fineCorrection(s, sd),
        means: s.means.slice(),
        centre: s.means.map((mean, a) => mean + shift[a]),
        effects: s.u.slice(),
        root,
        response,
      };
    }
    value = advance(s, sd, value);
  }
  return undefined;
};

const conditionalIntegral = (
  s: State,
  sd: Float64Array,
  means: Float64Array,
  near: JointMode,
): number => {
  const T = means.length;
  s.means.set(means);
  for (let k = 0; k < s.u.length; k++) {
    let effect = near.effects[k];
    for (let a = 0; a < T; a++) effect -= near.response[k * T + a] * (means[a] - near.means[a]);
    s.u[k] = effect;
  }
  s.stepMeans.fill(0);
  let value = valueHere(s, sd);
  for (let iteration = 0; ; iteration++) {
    factorHere(s, sd);
    solveInPlace(s.layout.factor, s.stepU);
    const gain = dot(s.slope, s.stepU);
    if (gain < STILL_ENOUGH || iteration === MOST_STEPS) {
      return value + gain / 2 - logDeterminant(s.layout.factor) / 2 + fineCorrection(s, sd);
    }
    value = advance(s, sd, value);
  }
};

/**
 * Solves the posterior of a hierarchical model at fixed standard deviations: its mode over means
 * and effects (Newton), and its integrals by Laplace's method (Tierney & Kadane 1986, JASA
 * 81:82-86; Rue, Martino & Chopin 2009, JRSS B 71:319-392, eq. 3). Exact for normal values.
 */
export const innerSolver = (h: Hierarchy): InnerSolver => {
  const s = newState(h);
  return {
    joint: (sd, start) => jointMode(s, sd, start),
    conditional: (sd, means, near) => conditionalIntegral(s, sd, means, near),
  };
};
