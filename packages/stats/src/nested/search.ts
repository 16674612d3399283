import { type FreeSolver, isDefinite, newFreeSolver, solveFree } from './free-solve';
import { RUNAWAY_SD } from '../mixed/engine';
import { coefficientInformation } from './information';
import type { Surface } from './state';
import { evaluateSurface } from './surface';

/** Working room of the search for one layout's optimum, and where it stands. */
export type Search = {
  readonly surface: Surface;
  readonly point: Float64Array;
  readonly gradient: Float64Array;
  value: number;
  readonly trial: Float64Array;
  readonly trialGradient: Float64Array;
  readonly direction: Float64Array;
  readonly bent: Float64Array;
  readonly turned: Float64Array;
  /** Approximate observed information, row-major. */
  readonly curvature: Float64Array;
  readonly solver: FreeSolver;
  iterations: number;
  /** Expected further gain (half the Newton decrement) at the end. */
  left: number;
};

export const newSearch = (surface: Surface): Search => {
  const n = surface.dimension;
  const vector = () => new Float64Array(n);
  return {
    surface,
    point: vector(),
    gradient: vector(),
    value: -Infinity,
    trial: vector(),
    trialGradient: vector(),
    direction: vector(),
    bent: vector(),
    turned: vector(),
    curvature: new Float64Array(n * n),
    solver: newFreeSolver(n),
    iterations: 0,
    left: Infinity,
  };
};

/** No step moves a parameter further than this. */
const LONGEST = 1.5;
/** Expected gain at which the quasi-Newton search ends. */
const NEAR = 1e-9;
const MOST_ITERATIONS = 100;
const MOST_HALVINGS = 30;
/** A standard deviation that ends below this is tried at exactly zero. */
const SMALL = 0.05;
const NO_WORSE = 1e-9;
const MOST_RELEASES = 6;
/** Difference step for the curvature by standard deviations at the start. */
const STEP = 1e-3;

/**
 * Curvature at the point to start from: of the coefficients exactly (deviations held), of the
 * standard deviations by one-sided differences of the gradient. Leaves the surface at the point.
 */
const startCurvature = (s: Search): void => {
  const { surface, point, trial, trialGradient, curvature, gradient } = s;
  const n = surface.dimension;
  curvature.fill(0);
  coefficientInformation(surface, curvature, s.direction);
  for (let k = 0; k < surface.levels; k++) {
    if (point[k] === 0) continue;
    trial.set(point);
    trial[k] += STEP;
    evaluateSurface(surface, trial, trialGradient);
    for (let j = 0; j < n; j++) {
      const slope = (gradient[j] - trialGradient[j]) / STEP;
      if (j >= surface.levels) curvature[k * n + j] = curvature[j * n + k] = slope;
      else {
        curvature[k * n + j] += slope / 2;
        curvature[j * n + k] += slope / 2;
      }
    }
  }
  makeDefinite(s);
};

/** Where the deviations' curvature points upwards, its size alone is kept. */
const makeDefinite = (s: Search): void => {
  const { surface, curvature, solver } = s;
  const n = surface.dimension;
  solver.free.fill(1);
  for (let k = 0; k < surface.levels; k++) {
    if (curvature[k * n + k] === 0) curvature[k * n + k] = 1;
  }
  if (isDefinite(solver, curvature)) return;
  for (let k = 0; k < surface.levels; k++) {
    const own = Math.max(1, Math.abs(curvature[k * n + k]));
    for (let j = 0; j < n; j++) curvature[k * n + j] = curvature[j * n + k] = 0;
    curvature[k * n + k] = own;
  }
};

/** Share of the curvature expected along a step below which the seen one is mixed with it. */
const DAMPED = 0.1;

/**
 * Moves to `trial`, with a BFGS update of the curvature (Nocedal & Wright 2006, procedure 18.2: where
 * the gradient turned less than a tenth of what was expected, or the wrong way, the expected turn is
 * mixed in, so that the curvature stays positive definite).
 */
const accept = (s: Search, value: number): void => {
  const { point, trial, gradient, trialGradient, curvature, bent, direction, turned } = s;
  const n = point.length;
  let sy = 0;
  let sbs = 0;
  for (let i = 0; i < n; i++) direction[i] = trial[i] - point[i];
  for (let i = 0; i < n; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += curvature[i * n + j] * direction[j];
    bent[i] = sum;
    turned[i] = gradient[i] - trialGradient[i];
    sbs += direction[i] * sum;
    sy += direction[i] * turned[i];
  }
  if (sbs > 0) {
    const mix = sy < DAMPED * sbs ? ((1 - DAMPED) * sbs) / (sbs - sy) : 1;
    const along = mix * sy + (1 - mix) * sbs;
    for (let i = 0; i < n; i++) turned[i] = mix * turned[i] + (1 - mix) * bent[i];
    for (let i = 0; i < n; i++) {
      const yi = turned[i] / along;
      const bi = bent[i] / sbs;
      for (let j = 0; j < n; j++) curvature[i * n + j] += yi * turned[j] - bi * bent[j];
    }
  }
  point.set(trial);
  gradient.set(trialGradient);
  s.value = value;
};

/** Backtracks along `direction`, deviations kept from going below zero; false if nothing rises. */
const climb = (s: Search): boolean => {
  const { surface, point, trial, direction, gradient } = s;
  let largest = 0;
  for (const d of direction) largest = Math.max(largest, Math.abs(d));
  let length = largest > LONGEST ? LONGEST / largest : 1;
  for (let halving = 0; halving < MOST_HALVINGS; halving++) {
    let slope = 0;
    for (let i = 0; i < point.length; i++) {
      const moved = point[i] + length * direction[i];
      trial[i] = i < surface.levels && moved < 0 ? 0 : moved;
      slope += (trial[i] - point[i]) * gradient[i];
    }
    const value = evaluateSurface(surface, trial, s.trialGradient);
    if (value >= s.value + 1e-4 * Math.max(0, slope)) {
      accept(s, value);
      return true;
    }
    // The top of the parabola through value, slope and value here, kept within reason.
    const top = (slope * length) / (2 * (slope - (value - s.value)));
    length = Number.isFinite(top) ? Math.min(Math.max(top, length / 10), length / 2) : length / 4;
  }
  return false;
};

const isFree = (s: Search, i: number): boolean => i >= s.surface.levels || s.point[i] > 0;

/** Newton direction over what is not held at zero; half its gain. */
const aim = (s: Search): number => {
  const { solver, point, gradient, direction } = s;
  for (let i = 0; i < point.length; i++) solver.free[i] = isFree(s, i) ? 1 : 0;
  solveFree(solver, s.curvature, gradient, direction);
  let gain = 0;
  for (let i = 0; i < point.length; i++) gain += gradient[i] * direction[i];
  return gain / 2;
};

const runsAway = (s: Search): boolean => {
  for (let k = 0; k < s.surface.levels; k++) if (s.point[k] > RUNAWAY_SD) return true;
  return false;
};

/** Quasi-Newton steps until the expected gain is small. */
const walk = (s: Search): void => {
  let refreshed = false;
  for (let i = 0; i < MOST_ITERATIONS; i++) {
    s.left = aim(s);
    if (s.left < NEAR || runsAway(s)) return;
    s.iterations++;
    if (climb(s)) continue;
    if (refreshed) return;
    refreshed = true;
    evaluateSurface(s.surface, s.point, s.gradient);
    startCurvature(s);
  }
};

/** Sets a small deviation to zero where the variance's own slope says so and nothing is lost. */
const snap = (s: Search, k: number): boolean => {
  const { surface, point, trial, trialGradient } = s;
  trial.set(point);
  trial[k] = 0;
  const value = evaluateSurface(surface, trial, trialGradient);
  const lost = s.value - value;
  // A little may be won back by the other parameters, which still sit where they suited the old one.
  if (!(lost < NO_WORSE || (surface.score[k] <= 0 && lost < SMALL))) return false;
  point.set(trial);
  s.gradient.set(trialGradient);
  s.value = value;
  return true;
};

/**
 * Leaves zero where the likelihood rises with the variance: Newton's step in the variance, from its
 * slopes at zero and a little further out, shortened until the value rises.
 */
const release = (s: Search, k: number, slope: number): boolean => {
  const { surface, point, trial, trialGradient, curvature } = s;
  const n = point.length;
  trial.set(point);
  trial[k] = SMALL;
  evaluateSurface(surface, trial, trialGradient);
  const turn = (surface.score[k] - slope) / SMALL ** 2;
  let variance = turn < 0 ? Math.min(-slope / turn, 1) : 0.1;
  for (let halving = 0; halving < MOST_HALVINGS; halving++, variance /= 4) {
    trial[k] = Math.sqrt(variance);
    const value = evaluateSurface(surface, trial, trialGradient);
    if (!(value > s.value)) continue;
    point.set(trial);
    s.gradient.set(trialGradient);
    s.value = value;
    for (let j = 0; j < n; j++) curvature[k * n + j] = curvature[j * n + k] = 0;
    curvature[k * n + k] = Math.max(4 * slope, 1e-3);
    return true;
  }
  return false;
};

/** The zero level whose variance the likelihood most wants larger; -1 when there is none. */
const pressing = (s: Search): number => {
  let at = -1;
  for (let k = 0; k < s.surface.levels; k++) {
    const slope = s.surface.score[k];
    if (s.point[k] === 0 && slope > 1e-7 && (at < 0 || slope > s.surface.score[at])) at = k;
  }
  return at;
};

/**
 * Climbs from `s.point` to a maximum. A deviation is exactly zero at the end where the likelihood
 * falls with its variance (the slope by the variance, not by the deviation, which is always 0 there).
 */
export const searchOptimum = (s: Search): void => {
  const { surface, point } = s;
  s.iterations = 0;
  s.value = evaluateSurface(surface, point, s.gradient);
  startCurvature(s);
  for (let round = 0; round < MOST_RELEASES; round++) {
    walk(s);
    let changed = false;
    for (let k = 0; k < surface.levels; k++) {
      if (point[k] > 0 && point[k] < SMALL && snap(s, k)) changed = true;
    }
    if (changed) walk(s);
    evaluateSurface(surface, point, s.gradient);
    const k = pressing(s);
    if (k < 0 || !release(s, k, surface.score[k])) return;
  }
};
