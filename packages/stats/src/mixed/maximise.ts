import { dot, inversePositive, quadratic, times } from './dense';

export type Smooth = (point: Float64Array, gradient?: Float64Array) => number;

export type Maximum = {
  readonly point: Float64Array;
  readonly value: number;
  readonly gradient: Float64Array;
  /**
   * Negative Hessian (observed information), row-major; rows of held parameters are zero. Taken
   * where the last Newton steps began: relative error of the order of 1e-5.
   */
  readonly information: Float64Array;
  /** Its inverse, rows of held parameters zero; undefined when not positive definite. */
  readonly covariance: Float64Array | undefined;
  readonly iterations: number;
  readonly converged: boolean;
};

/** Parameters held at their start, by index. */
export type Held = readonly boolean[];

type Place = { point: Float64Array; value: number; gradient: Float64Array };

const STEP = 1e-4;

/**
 * Observed information by central differences of the analytic gradient; held rows and columns are
 * left zero.
 */
export const information = (f: Smooth, point: Float64Array, held: Held): Float64Array => {
  const n = point.length;
  const h = new Float64Array(n * n);
  const up = new Float64Array(n);
  const down = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    if (held[j]) continue;
    const moved = point.slice();
    const step = STEP * Math.max(1, Math.abs(point[j]));
    moved[j] = point[j] + step;
    const a = f(moved, up);
    moved[j] = point[j] - step;
    const b = f(moved, down);
    const usable = Number.isFinite(a) && Number.isFinite(b);
    for (let i = 0; i < n; i++) {
      if (!held[i]) h[i * n + j] = usable ? (down[i] - up[i]) / (2 * step) : Number(i === j);
    }
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      h[i * n + j] = h[j * n + i] = (h[i * n + j] + h[j * n + i]) / 2;
    }
  }
  return h;
};

/** Inverse over the parameters not held, zeros elsewhere; undefined if not positive definite. */
export const freeInverse = (h: Float64Array, held: Held, ridge = 0): Float64Array | undefined => {
  const n = held.length;
  const free = held.flatMap((fixed, i) => (fixed ? [] : [i]));
  const m = free.length;
  const part = new Float64Array(m * m);
  free.forEach((i, a) => {
    free.forEach((j, b) => (part[a * m + b] = h[i * n + j] + (a === b ? ridge : 0)));
  });
  const inverse = inversePositive(part, m);
  if (!inverse) return undefined;
  const whole = new Float64Array(n * n);
  free.forEach((i, a) => {
    free.forEach((j, b) => (whole[i * n + j] = inverse[a * m + b]));
  });
  return whole;
};

/** The same by one-sided differences: half the work, good enough to start from. */
const roughInformation = (f: Smooth, at: Place, held: Held): Float64Array => {
  const n = at.point.length;
  const h = new Float64Array(n * n);
  const up = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    if (held[j]) continue;
    const moved = at.point.slice();
    moved[j] += STEP;
    const usable = Number.isFinite(f(moved, up));
    for (let i = 0; i < n; i++) {
      const slope = usable ? (at.gradient[i] - up[i]) / STEP : Number(i === j);
      if (held[i]) continue;
      h[i * n + j] += slope / 2;
      h[j * n + i] += slope / 2;
    }
  }
  return h;
};

/** A positive definite start for the inverse information, adding to the diagonal as needed. */
const startingInverse = (h: Float64Array, point: Float64Array, held: Held): Float64Array => {
  let largest = 1e-6;
  for (let i = 0; i < point.length; i++) {
    largest = Math.max(largest, Math.abs(h[i * point.length + i]));
  }
  for (let ridge = 0; ; ridge = ridge === 0 ? largest * 1e-3 : ridge * 10) {
    const inverse = freeInverse(h, held, ridge);
    if (inverse) return inverse;
  }
};

/** BFGS update of the inverse information for a step `s` and change of gradient `y` (Nocedal &
 * Wright, Numerical Optimization, eq. 6.17), skipped where the curvature has the wrong sign. */
const update = (inverse: Float64Array, s: Float64Array, y: Float64Array): void => {
  const n = s.length;
  const sy = -dot(s, y);
  if (!(sy > 1e-12 * Math.sqrt(dot(s, s) * dot(y, y)))) return;
  const hy = times(inverse, y).map((v) => -v);
  const yhy = -dot(y, hy);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      inverse[i * n + j] += ((1 + yhy / sy) * s[i] * s[j] - hy[i] * s[j] - s[i] * hy[j]) / sy;
    }
  }
};

/** No single step moves a parameter (logits, standard deviations of logits) further than this. */
const LONGEST = 2;

const limited = (step: Float64Array): Float64Array => {
  let largest = 0;
  for (const v of step) largest = Math.max(largest, Math.abs(v));
  return largest > LONGEST ? step.map((v) => (v * LONGEST) / largest) : step;
};

/** Backtracks along `step` until the value rises enough (Armijo, 1e-4); undefined if it can't. */
const climb = (f: Smooth, from: Place, step: Float64Array): Place | undefined => {
  const slope = dot(step, from.gradient);
  for (let length = 1; length > 1e-10; length /= 2) {
    const point = from.point.map((v, i) => v + length * step[i]);
    const gradient = new Float64Array(point.length);
    const value = f(point, gradient);
    if (value >= from.value + 1e-4 * length * slope) return { point, value, gradient };
  }
  return undefined;
};

/**
 * Expected further gain (half the Newton decrement) at which the search stops. The first only ends
 * the quasi-Newton stage; Newton steps with the exact curvature then go on to the second.
 */
const NEAR = 1e-8;
const THERE = 1e-13;

const quasiNewton = (f: Smooth, start: Place, h: Float64Array, held: Held, most: number) => {
  let at = start;
  let inverse = startingInverse(h, start.point, held);
  let fresh = true;
  let iterations = 0;
  for (; iterations < most; iterations++) {
    const step = limited(times(inverse, at.gradient));
    if (dot(step, at.gradient) / 2 < NEAR) break;
    const next = climb(f, at, step);
    if (!next) {
      if (fresh) break;
      inverse = startingInverse(roughInformation(f, at, held), at.point, held);
      fresh = true;
      continue;
    }
    const moved = next.point.map((v, i) => v - at.point[i]);
    const turned = next.gradient.map((v, i) => (held[i] ? 0 : v - at.gradient[i]));
    update(inverse, moved, turned);
    fresh = false;
    at = next;
  }
  return { at, iterations };
};

export type MaximiseOptions = {
  /** Parameters to leave at their start; their gradient is ignored. */
  readonly held: Held;
  /** Information at or very near the start, when known. */
  readonly information?: Float64Array | undefined;
  readonly mostIterations?: number | undefined;
};

const gainLeft = (at: Place, covariance: Float64Array): number =>
  quadratic(at.gradient, covariance, at.gradient) / 2;

/** Newton steps, the information taken afresh where the first ones don't do. */
const polish = (f: Smooth, from: Place, given: Float64Array, held: Held) => {
  let at = from;
  let h = given;
  let covariance = freeInverse(h, held);
  let steps = 0;
  while (covariance && gainLeft(at, covariance) >= THERE) {
    const next = steps < 8 ? climb(f, at, times(covariance, at.gradient)) : undefined;
    // No rise beyond rounding: as far as can be told, the top.
    if (!next) return { at, h, covariance, steps, converged: gainLeft(at, covariance) < NEAR };
    at = next;
    steps++;
    if (steps % 3 === 0) {
      h = information(f, at.point, held);
      covariance = freeInverse(h, held);
    }
  }
  return { at, h, covariance, steps, converged: covariance !== undefined };
};

/**
 * Maximises a smooth function with gradient: BFGS from a differenced Hessian, then Newton steps
 * with a fresh one.
 */
export const maximise = (f: Smooth, start: Float64Array, options: MaximiseOptions): Maximum => {
  const { held } = options;
  const masked: Smooth = (point, gradient) => {
    const value = f(point, gradient);
    if (gradient) held.forEach((fixed, i) => fixed && (gradient[i] = 0));
    return value;
  };
  const gradient = new Float64Array(start.length);
  const first: Place = { point: start, value: masked(start, gradient), gradient };
  const known = options.information ?? roughInformation(masked, first, held);
  const stage = quasiNewton(masked, first, known, held, options.mostIterations ?? 200);
  const given = stage.iterations === 0 ? options.information : undefined;
  const h = given ?? information(masked, stage.at.point, held);
  const end = polish(masked, stage.at, h, held);
  return {
    ...end.at,
    information: end.h,
    covariance: end.covariance,
    iterations: stage.iterations + end.steps,
    converged: end.converged,
  };
};
