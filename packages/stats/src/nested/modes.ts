import type { Surface } from './state';

/** Fills derivatives of every row at the predictors `acc`, and their sums over the finest groups. */
export const fillRows = (s: Surface): void => {
  const { leaf, cell, count } = s.pooled;
  const { y, n, fixed, acc, first, weight, third, w, f, r } = s;
  w.fill(0);
  f.fill(0);
  r.fill(0);
  for (let i = 0; i < count; i++) {
    const g = leaf[i];
    const x = fixed[cell[i]] + acc[g];
    const e = Math.exp(-Math.abs(x));
    const large = 1 / (1 + e);
    const small = e * large;
    const p = x > 0 ? large : small;
    const q = x > 0 ? small : large;
    const m = n[i] * p * q;
    const l = y[i] * q - (n[i] - y[i]) * p;
    first[i] = l;
    weight[i] = m;
    third[i] = m * (p - q);
    w[g] += m;
    f[g] += l;
  }
};

/**
 * One Newton step: the effects that would be the modes if each row's log-likelihood were the parabola
 * that touches it. Up the tree, group by group, weight W and working residual R leave W / a and R / a
 * to the parent, a = 1 + sd^2 W; down again, u = sd (R - W b) / a with b the effects above. Returns
 * the largest change of a predictor. `length` shortens the step.
 */
const newtonStep = (s: Surface, length: number): number => {
  const { parent, levelStart } = s.pooled.tree;
  const { w, r, a, u, acc, c, sd } = s;
  for (let level = 0; level < s.levels; level++) {
    const variance = sd[level] * sd[level];
    for (let g = levelStart[level]; g < levelStart[level + 1]; g++) {
      const factor = 1 + variance * w[g];
      a[g] = factor;
      const up = parent[g];
      if (up >= 0) {
        w[up] += w[g] / factor;
        r[up] += r[g] / factor;
      }
    }
  }
  let largest = 0;
  for (let level = s.levels - 1; level >= 0; level--) {
    const own = sd[level];
    for (let g = levelStart[level]; g < levelStart[level + 1]; g++) {
      const up = parent[g];
      const above = up < 0 ? 0 : c[up];
      u[g] = (own * (r[g] - w[g] * above)) / a[g];
      c[g] = above + own * u[g];
      largest = Math.max(largest, Math.abs(c[g] - acc[g]));
    }
  }
  const share = largest * length > LONGEST ? LONGEST / largest : length;
  for (let g = 0; g < acc.length; g++) acc[g] += share * (c[g] - acc[g]);
  return largest;
};

/** No predictor moves further than this (logits) in one step. */
const LONGEST = 3;
/** Steps shorter than this (logits) leave an error of the size of their square: the search is over. */
const SETTLED = 1e-6;
/** From here on full steps; further out, after this many, half ones, which can't swing to and fro. */
const NEAR = 0.05;
const PATIENCE = 12;
const MOST_STEPS = 120;

/**
 * Conditional modes of all group effects at the surface's coefficients and standard deviations, from
 * where the last search ended. The objective is concave, so there is one. False when not found.
 */
export const findNestedModes = (s: Surface): boolean => {
  const { leaf, count } = s.pooled;
  const { weight, acc, r, f } = s;
  let last = 0;
  for (let step = 0; step < MOST_STEPS; step++) {
    fillRows(s);
    for (let g = 0; g < s.pooled.tree.levelStart[1]; g++) r[g] = f[g];
    for (let i = 0; i < count; i++) r[leaf[i]] += weight[i] * acc[leaf[i]];
    const length = step < PATIENCE || last < NEAR ? 1 : 0.5;
    last = newtonStep(s, length);
    if (last < SETTLED) return true;
    if (!Number.isFinite(last)) return false;
  }
  return false;
};
