import { fillCurvature, type GroupLayout } from './groups';
import type { Curves, Likelihood } from './likelihood';
import { factorise, solveInPlace } from './sparse';

/** Everything the search for the conditional modes of the group effects reads and leaves behind. */
export type ModeSearch = {
  readonly layout: GroupLayout;
  readonly likelihood: Likelihood;
  /** Standardised group effects: start on entry, modes on success. */
  readonly u: Float64Array;
  readonly eta: Float64Array;
  readonly curves: Curves;
  readonly step: Float64Array;
  readonly trial: Float64Array;
  readonly weights: Float64Array;
};

/** The modes are where they should be when a Newton step would move none by more than this. */
const STILL = 1e-10;
const MOST_STEPS = 100;

/** eta = fixed part + sum of sd * u over each row's groups. */
export const linearPredictor = (
  layout: GroupLayout,
  fixed: Float64Array,
  sd: Float64Array,
  u: Float64Array,
  eta: Float64Array,
): void => {
  eta.set(fixed);
  layout.nodes.forEach((node, k) => {
    const s = sd[k];
    if (s === 0) return;
    for (let i = 0; i < eta.length; i++) eta[i] += s * u[node[i]];
  });
};

/** `into` += sum over rows of sd * value at the row's group, for every term. */
export const addToGroups = (
  layout: GroupLayout,
  sd: Float64Array,
  value: Float64Array,
  into: Float64Array,
): void => {
  layout.nodes.forEach((node, k) => {
    const s = sd[k];
    if (s === 0) return;
    for (let i = 0; i < value.length; i++) into[node[i]] += s * value[i];
  });
};

const penalisedValue = (
  s: ModeSearch,
  point: { fixed: Float64Array; sd: Float64Array; shape: Float64Array },
  u: Float64Array,
): number => {
  linearPredictor(s.layout, point.fixed, point.sd, u, s.eta);
  let square = 0;
  for (const v of u) square += v * v;
  return s.likelihood.evaluate(s.eta, point.shape, s.curves) - square / 2;
};

/** Newton direction at the current `curves`; tells whether the curvature was positive definite. */
const newtonStep = (s: ModeSearch, sd: Float64Array): boolean => {
  const { second, first } = s.curves;
  for (let i = 0; i < second.length; i++) s.weights[i] = -second[i];
  fillCurvature(s.layout, sd, s.weights);
  const definite = factorise(s.layout.factor);
  if (!definite) {
    // Far from the mode a beta-binomial may curve the wrong way; drop those rows' curvature.
    fillCurvature(
      s.layout,
      sd,
      s.weights.map((w) => Math.max(w, 0)),
    );
    factorise(s.layout.factor);
  }
  s.step.fill(0);
  addToGroups(s.layout, sd, first, s.step);
  for (let k = 0; k < s.step.length; k++) s.step[k] -= s.u[k];
  solveInPlace(s.layout.factor, s.step);
  return definite;
};

/**
 * Penalised iteratively reweighted least squares for the group effects at fixed coefficients,
 * standard deviations and shape: maximises sum of log-likelihoods - |u|^2 / 2 by Newton steps,
 * halved when they go down. On success the layout's matrix is factored at the modes, `curves` and
 * `eta` belong to them, and the penalised value is returned; undefined when there is no mode.
 */
export const findModes = (
  s: ModeSearch,
  point: { fixed: Float64Array; sd: Float64Array; shape: Float64Array },
): number | undefined => {
  let value = penalisedValue(s, point, s.u);
  if (!Number.isFinite(value)) {
    s.u.fill(0);
    value = penalisedValue(s, point, s.u);
    if (!Number.isFinite(value)) return undefined;
  }
  for (let iteration = 0; iteration < MOST_STEPS; iteration++) {
    const definite = newtonStep(s, point.sd);
    let largest = 0;
    for (const d of s.step) largest = Math.max(largest, Math.abs(d));
    if (!Number.isFinite(largest)) return undefined;
    if (largest < STILL) return definite ? value : undefined;
    let length = 1;
    let next = -Infinity;
    for (let halving = 0; halving < 40; halving++, length /= 2) {
      for (let k = 0; k < s.u.length; k++) s.trial[k] = s.u[k] + length * s.step[k];
      next = penalisedValue(s, point, s.trial);
      if (next >= value - 1e-12 * (1 + Math.abs(value))) break;
    }
    s.u.set(s.trial);
    value = next;
  }
  return undefined;
};
