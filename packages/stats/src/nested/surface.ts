import { fillRows, findNestedModes } from './modes';
import type { Surface } from './state';

/** A running product of numbers of at least 1 is put into logarithms before it overflows. */
const LARGE_PRODUCT = 1e200;

/**
 * At the modes: weights up the tree, the log-determinant and half the squared effects. Eliminating
 * group g of weight W leaves W / (1 + sd^2 W) to its parent and the factor 1 + sd^2 W to the
 * determinant, so both cost one pass over the groups.
 */
const eliminate = (s: Surface): number => {
  const { tree } = s.pooled;
  const { w, f, a, u, sd } = s;
  let log = 0;
  let product = 1;
  let square = 0;
  for (let level = 0; level < s.levels; level++) {
    const variance = sd[level] * sd[level];
    for (let g = tree.levelStart[level]; g < tree.levelStart[level + 1]; g++) {
      const factor = 1 + variance * w[g];
      a[g] = factor;
      product *= factor;
      if (product > LARGE_PRODUCT) {
        log += Math.log(product);
        product = 1;
      }
      square += u[g] * u[g];
      const up = tree.parent[g];
      if (up >= 0) {
        w[up] += w[g] / factor;
        f[up] += f[g];
      }
    }
  }
  return (square + log + Math.log(product)) / 2;
};

/** Log-likelihood of the rows at their linear predictors, binomial coefficients left out. */
const rowValue = (s: Surface): number => {
  const { leaf, cell, count } = s.pooled;
  const { y, n, fixed, acc } = s;
  let value = 0;
  for (let i = 0; i < count; i++) {
    const x = fixed[cell[i]] + acc[leaf[i]];
    value += y[i] * x - n[i] * (Math.max(x, 0) + Math.log1p(Math.exp(-Math.abs(x))));
  }
  return value;
};

/** Log-likelihood of the pseudo-counts; their slope is added to the cells'. */
const penaltyValue = (s: Surface): number => {
  if (s.pseudo === 0) return 0;
  let value = 0;
  for (let j = 0; j < s.fixed.length; j++) {
    const x = s.fixed[j];
    const e = Math.exp(-Math.abs(x));
    value -= s.pseudo * (Math.abs(x) + 2 * Math.log1p(e));
    s.cellSlope[j] -= (s.pseudo * Math.sign(x) * (1 - e)) / (1 + e);
  }
  return value;
};

/** Posterior variances down the tree; `score` begins as the explicit part of the slopes. */
const spreadDown = (s: Surface): void => {
  const { tree } = s.pooled;
  const { w, f, a, v, r, sd, score } = s;
  for (let level = s.levels - 1; level >= 0; level--) {
    const variance = sd[level] * sd[level];
    let sum = 0;
    for (let g = tree.levelStart[level]; g < tree.levelStart[level + 1]; g++) {
      const up = tree.parent[g];
      const above = up < 0 ? 0 : v[up];
      const left = w[g] / a[g];
      v[g] = above / (a[g] * a[g]) + variance / a[g];
      sum += f[g] * f[g] - left + left * left * above;
      r[g] = 0;
    }
    score[level] = sum / 2;
  }
};

/** Solves for the adjoint: how the slope through the curvature reaches back to every predictor. */
const adjoint = (s: Surface): void => {
  const { tree } = s.pooled;
  const { r, a, c, w, d, sd } = s;
  const { parent, levelStart } = tree;
  for (let g = 0; g < parent.length; g++) {
    d[g] = 0;
    if (parent[g] >= 0) r[parent[g]] += r[g] / a[g];
  }
  for (let level = s.levels - 1; level >= 0; level--) {
    const variance = sd[level] * sd[level];
    for (let g = levelStart[level]; g < levelStart[level + 1]; g++) {
      const above = parent[g] < 0 ? 0 : c[parent[g]];
      c[g] = above + (variance * (r[g] - w[g] * above)) / a[g];
    }
  }
};

/**
 * Gradient by implicit differentiation. With h_i the posterior variance of row i's predictor,
 * t_i = l''' h_i / 2 and c the predictor that t calls for, each row's predictor counts
 * l' + t_i - w_i c_i, and the variance of a level half the sum over its groups of
 * F^2 - q + 2 F D: F sums l' over the group, D sums t - w c, q is the group's entry of
 * Z' (W^-1 + Z V Z')^-1 Z.
 */
const fillGradient = (s: Surface, gradient: Float64Array): void => {
  const { leaf, cell, count, tree } = s.pooled;
  const { first, weight, third, spare: t, v, r, c, d, f, score, cellSlope } = s;
  spreadDown(s);
  for (let i = 0; i < count; i++) {
    t[i] = (third[i] * v[leaf[i]]) / 2;
    r[leaf[i]] += t[i];
  }
  adjoint(s);
  for (let i = 0; i < count; i++) {
    const through = t[i] - weight[i] * c[leaf[i]];
    d[leaf[i]] += through;
    cellSlope[cell[i]] += first[i] + through;
  }
  for (let level = 0; level < s.levels; level++) {
    let sum = 0;
    for (let g = tree.levelStart[level]; g < tree.levelStart[level + 1]; g++) {
      sum += f[g] * d[g];
      const up = tree.parent[g];
      if (up >= 0) d[up] += d[g];
    }
    score[level] += sum;
    gradient[level] = 2 * s.sd[level] * score[level];
  }
  fillCoefficients(s, gradient);
};

const fillCoefficients = (s: Surface, gradient: Float64Array): void => {
  const { columns, cells, cellDesign } = s.pooled;
  for (let j = 0; j < columns; j++) {
    let sum = 0;
    for (let k = 0; k < cells; k++) sum += cellDesign[k * columns + j] * s.cellSlope[k];
    gradient[s.levels + j] = sum;
  }
};

/**
 * The marginal log-likelihood by the Laplace approximation (Breslow & Clayton 1993, JASA 88:9-25,
 * eq. 4), pseudo-counts included and binomial coefficients left out; its gradient into `gradient`
 * and `s.score` when given. One pass over rows and groups for each Newton step of the modes, which
 * are kept as the next start. -Infinity where no modes were found.
 */
export const evaluateSurface = (
  s: Surface,
  point: Float64Array,
  gradient: Float64Array | undefined,
): number => {
  const { columns, cells, cellDesign } = s.pooled;
  s.evaluations++;
  for (let level = 0; level < s.levels; level++) s.sd[level] = point[level];
  for (let k = 0; k < cells; k++) {
    let sum = 0;
    for (let j = 0; j < columns; j++) sum += cellDesign[k * columns + j] * point[s.levels + j];
    s.fixed[k] = sum;
    s.cellSlope[k] = 0;
  }
  if (!findNestedModes(s)) {
    s.acc.fill(0);
    return -Infinity;
  }
  fillRows(s);
  const value = rowValue(s) - eliminate(s);
  s.penalty = penaltyValue(s);
  if (gradient) fillGradient(s, gradient);
  return value + s.penalty;
};
