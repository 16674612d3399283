import { inversePositive } from '../mixed/dense';
import { quadraticForm } from './quadratic-form';
import type { Within } from './cells';

/** Distinct runs of cells and how many values have each. */
type Runs = {
  readonly first: readonly number[];
  readonly last: readonly number[];
  readonly weight: readonly number[];
  readonly n: number;
};

export type Masses = {
  readonly mass: Float64Array;
  readonly logLik: number;
  readonly excess: number;
  readonly unique: boolean;
  readonly iterations: number;
};

const SELF_CONSISTENT = 40;
const MOST_NEWTON = 500;
/** Slopes per value that count as nothing. */
const FLAT = 1e-12;
/** Masses below this, with a slope that is not upward, are none. */
const NO_MASS = 1e-9;

const runsOf = ({ first, last }: Within): Runs => {
  const found = new Map<string, [number, number, number]>();
  first.forEach((f, i) => {
    const key = `${f} ${last[i]}`;
    const run = found.get(key);
    if (run) run[2]++;
    else found.set(key, [f, last[i], 1]);
  });
  const runs = [...found.values()];
  return {
    first: runs.map((run) => run[0]),
    last: runs.map((run) => run[1]),
    weight: runs.map((run) => run[2]),
    n: first.length,
  };
};

/** Probability of each run; their logarithm's sum; the slope of that by each cell's mass, over n. */
const slopes = ({ first, last, weight, n }: Runs, mass: Float64Array) => {
  const upTo = new Float64Array(mass.length + 1);
  mass.forEach((m, j) => (upTo[j + 1] = upTo[j] + m));
  const change = new Float64Array(mass.length + 1);
  const p = new Float64Array(first.length);
  let logLik = 0;
  first.forEach((f, r) => {
    p[r] = upTo[last[r] + 1] - upTo[f];
    logLik += weight[r] * Math.log(p[r]);
    change[f] += weight[r] / p[r];
    change[last[r] + 1] -= weight[r] / p[r];
  });
  const slope = new Float64Array(mass.length);
  let running = 0;
  for (let j = 0; j < slope.length; j++) slope[j] = (running += change[j]) / n;
  return { p, logLik, slope };
};

/** Curvature over the cells of `held`: sum over runs of weight / p^2 where both cells are inside. */
const curvature = (runs: Runs, p: Float64Array, held: readonly number[]): Float64Array => {
  const k = held.length;
  const h = new Float64Array(k * k);
  runs.first.forEach((f, r) => {
    const inside = held.flatMap((j, a) => (j >= f && j <= runs.last[r] ? [a] : []));
    const c = runs.weight[r] / (p[r] * p[r]) / runs.n;
    for (const a of inside) for (const b of inside) h[a * k + b] += c;
  });
  return h;
};

const climbOf = (runs: Runs, mass: Float64Array): number => {
  const { logLik } = slopes(runs, mass);
  return logLik / runs.n - mass.reduce((a, b) => a + b, 0);
};

/** Newton's step over `held`, shortened to where a mass reaches 0 and until the climb is real. */
const newtonStep = (runs: Runs, mass: Float64Array, held: readonly number[]): Float64Array => {
  const { p, slope } = slopes(runs, mass);
  const h = curvature(runs, p, held);
  const k = held.length;
  let inverse: Float64Array | undefined;
  for (let ridge = 0; inverse === undefined; ridge = ridge === 0 ? 1e-10 : ridge * 100) {
    const ridged = h.slice();
    for (let a = 0; a < k; a++) ridged[a * k + a] += ridge * Math.max(1, h[a * k + a]);
    inverse = inversePositive(ridged, k);
  }
  const step = new Float64Array(mass.length);
  held.forEach((j, a) => {
    for (let b = 0; b < k; b++) step[j] += inverse[a * k + b] * (slope[held[b]] - 1);
  });
  let length = 1;
  for (const j of held) if (step[j] < 0) length = Math.min(length, mass[j] / -step[j]);
  const before = climbOf(runs, mass);
  for (; length > 1e-12; length /= 2) {
    const moved = mass.map((m, j) => {
      const to = m + length * step[j];
      return to < 1e-15 ? 0 : to;
    });
    // Rounding may undo the last bits of a climb that is there.
    if (climbOf(runs, moved) >= before - 1e-15 * Math.abs(before)) return moved;
  }
  return mass;
};

const heldBy = (mass: Float64Array): number[] => [...mass.keys()].filter((j) => mass[j] > 0);

/** How far the slopes miss the conditions of a maximum: 1 where there is mass, at most 1 elsewhere. */
const missOf = (mass: Float64Array, slope: Float64Array): number =>
  slope.reduce((miss, s, j) => Math.max(miss, mass[j] > 0 ? Math.abs(s - 1) : s - 1), 0);

/** One step of self-consistency: each value spread over its cells as the masses are now. */
const selfConsistent = (runs: Runs, mass: Float64Array): Float64Array => {
  const { slope } = slopes(runs, mass);
  return mass.map((m, j) => m * slope[j]);
};

/**
 * Masses of the cells that maximise the likelihood of the runs: steps of self-consistency, then
 * Newton's on the cells with mass; a cell whose slope calls for mass gets some back.
 */
export function climbMasses(within: Within, cells: number): Masses {
  const runs = runsOf(within);
  let mass: Float64Array = new Float64Array(cells).fill(1 / cells);
  for (let i = 0; i < SELF_CONSISTENT; i++) mass = selfConsistent(runs, mass);
  let iterations = SELF_CONSISTENT;
  for (let i = 0; i < MOST_NEWTON; i++, iterations++) {
    const { slope } = slopes(runs, mass);
    mass = mass.map((m, j) => (m < NO_MASS && slope[j] < 1 ? 0 : m));
    const { slope: now } = slopes(runs, mass);
    if (missOf(mass, now) < FLAT) break;
    const wanted = now.findIndex((s, j) => mass[j] === 0 && s > 1 + FLAT);
    if (wanted >= 0) mass[wanted] = 1e-4;
    mass = newtonStep(runs, mass, heldBy(mass));
  }
  const total = mass.reduce((a, b) => a + b, 0);
  mass = mass.map((m) => m / total);
  const { p, logLik, slope } = slopes(runs, mass);
  const held = heldBy(mass);
  const { rank } = quadraticForm(new Float64Array(held.length), curvature(runs, p, held));
  const excess = missOf(mass, slope);
  return { mass, logLik, excess, unique: rank === held.length, iterations };
}
