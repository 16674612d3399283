import type { Surface } from './state';
import { evaluateSurface } from './surface';

/**
 * X' P X of the coefficients at the modes of the last evaluation, P = (W^-1 + Z V Z')^-1: what the
 * data tell of them with the standard deviations held, into the lower right of `into` (row-major,
 * all parameters). `spare` has room for one number a parameter.
 */
export const coefficientInformation = (
  s: Surface,
  into: Float64Array,
  spare: Float64Array,
): void => {
  const { count, cell, leaf, columns, cellDesign, tree } = s.pooled;
  const { weight, r, a, c, w, sd } = s;
  const { parent, levelStart } = tree;
  const n = s.dimension;
  for (let j = 0; j < columns; j++) {
    r.fill(0);
    for (let i = 0; i < count; i++) r[leaf[i]] += weight[i] * cellDesign[cell[i] * columns + j];
    for (let g = 0; g < parent.length; g++) if (parent[g] >= 0) r[parent[g]] += r[g] / a[g];
    for (let level = s.levels - 1; level >= 0; level--) {
      const variance = sd[level] * sd[level];
      for (let g = levelStart[level]; g < levelStart[level + 1]; g++) {
        const above = parent[g] < 0 ? 0 : c[parent[g]];
        c[g] = above + (variance * (r[g] - w[g] * above)) / a[g];
      }
    }
    spare.fill(0);
    for (let i = 0; i < count; i++) {
      const at = cell[i] * columns;
      const through = weight[i] * (cellDesign[at + j] - c[leaf[i]]);
      for (let l = 0; l <= j; l++) spare[l] += through * cellDesign[at + l];
    }
    for (let l = 0; l <= j; l++) {
      const up = (s.levels + l) * n + s.levels + j;
      into[up] = into[(s.levels + j) * n + s.levels + l] = spare[l];
    }
  }
};

/** Of logits and standard deviations of logits. */
const STEP = 1e-4;

/**
 * Observed information over all parameters by central differences of the analytic gradient, rows
 * and columns of standard deviations at zero left zero.
 */
export const observedInformation = (s: Surface, point: Float64Array): Float64Array => {
  const n = s.dimension;
  const h = new Float64Array(n * n);
  const up = new Float64Array(n);
  const down = new Float64Array(n);
  const moved = point.slice();
  const held = (i: number) => i < s.levels && point[i] === 0;
  for (let j = 0; j < n; j++) {
    if (held(j)) continue;
    const step = STEP * Math.max(1, Math.abs(point[j]));
    moved[j] = point[j] + step;
    evaluateSurface(s, moved, up);
    moved[j] = point[j] - step;
    evaluateSurface(s, moved, down);
    moved[j] = point[j];
    for (let i = 0; i < n; i++) {
      if (held(i)) continue;
      const slope = (down[i] - up[i]) / (4 * step);
      h[i * n + j] += slope;
      h[j * n + i] += slope;
    }
  }
  return h;
};
