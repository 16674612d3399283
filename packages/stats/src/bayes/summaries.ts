import type { PosteriorPoints } from './posterior';

/** Mean, standard deviation and 2.5, 50 and 97.5 % points of a posterior. */
export type Summary = {
  readonly mean: number;
  readonly sd: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
};

const BINS = 1024;
/** Bins reach this many standard deviations to either side; what lies beyond goes into the last. */
const SIDE = 6;

/** Where a cumulative share is reached, between edges `start + bin * width`. */
const reached = (bins: Float64Array, share: number, start: number, width: number): number => {
  let sum = 0;
  for (let b = 0; b < bins.length; b++) {
    if (sum + bins[b] >= share && bins[b] > 0) {
      return start + (b + Math.max(0, share - sum) / bins[b]) * width;
    }
    sum += bins[b];
  }
  return start + bins.length * width;
};

/** Summary of weighted values; weights sum to 1 and a few may be negative. */
export const summarise = (values: Float64Array, weights: Float64Array): Summary => {
  let mean = 0;
  for (let i = 0; i < values.length; i++) mean += weights[i] * values[i];
  let variance = 0;
  for (let i = 0; i < values.length; i++) variance += weights[i] * (values[i] - mean) ** 2;
  const sd = Math.sqrt(Math.max(0, variance));
  if (sd === 0) return { mean, sd, low: mean, median: mean, high: mean };
  const width = (2 * SIDE * sd) / BINS;
  const start = mean - SIDE * sd;
  const bins = new Float64Array(BINS);
  for (let i = 0; i < values.length; i++) {
    const bin = Math.floor((values[i] - start) / width);
    bins[Math.max(0, Math.min(BINS - 1, bin))] += weights[i];
  }
  const at = (share: number) => reached(bins, share, start, width);
  return { mean, sd, low: at(0.025), median: at(0.5), high: at(0.975) };
};

/** Parts into which a step of the grid is cut to find percentage points. */
const PARTS = 10;

/** Between a and b, at t in 0..1, by the cubic through four even points (Catmull & Rom 1974). */
const between = (before: number, a: number, b: number, after: number, t: number): number =>
  a +
  (t / 2) *
    (b - before + t * (2 * before - 5 * a + 4 * b - after + t * (3 * (a - b) + after - before)));

/** Posterior of one standard deviation, from its margin on the grid. */
export const summariseSpread = (points: PosteriorPoints, spread: number): Summary => {
  const { nodes, spreadOf } = points.grid;
  const margin = new Map<number, number>();
  const before = new Map<number, number>();
  nodes.forEach(({ place, share }, n) => {
    margin.set(place[spread], (margin.get(place[spread]) ?? 0) + points.nodeWeights[n]);
    before.set(place[spread], (before.get(place[spread]) ?? 0) + share);
  });
  const first = Math.min(...margin.keys());
  const last = Math.max(...margin.keys());
  const logs = Array.from({ length: last - first + 1 }, (_, n) =>
    // At the far ends a correction of few points can take away more than there was.
    Math.log(Math.max((before.get(first + n) ?? 1e-9) / 4, margin.get(first + n) ?? 0)),
  );
  const end = logs.length - 1;
  // Past either end the logarithm goes on as steeply as it came, and never up.
  const log = (n: number): number => {
    if (n < 0) return logs[0] + n * Math.max(0.5, logs[Math.min(1, end)] - logs[0]);
    if (n > end)
      return logs[end] - (n - end) * Math.max(0.5, logs[Math.max(0, end - 1)] - logs[end]);
    return logs[n];
  };
  const sds: number[] = [];
  const shares: number[] = [];
  for (let n = -1; n < logs.length; n++) {
    for (let part = 0; part < PARTS; part++) {
      sds.push(spreadOf(spread, first + n + part / PARTS));
      shares.push(Math.exp(between(log(n - 1), log(n), log(n + 1), log(n + 2), part / PARTS)));
    }
  }
  const total = shares.reduce((sum, share) => sum + share, 0);
  let mean = 0;
  let square = 0;
  sds.forEach((sd, i) => {
    mean += (shares[i] / total) * sd;
    square += (shares[i] / total) * sd * sd;
  });
  const at = (share: number): number => {
    let sum = 0;
    for (let i = 0; i < sds.length; i++) {
      const own = shares[i] / total;
      if (sum + own >= share) {
        const next = sds[Math.min(i + 1, sds.length - 1)];
        const before = sds[Math.max(i - 1, 0)];
        const from = (before + sds[i]) / 2;
        return from + ((sds[i] + next) / 2 - from) * ((share - sum) / own);
      }
      sum += own;
    }
    return sds[sds.length - 1];
  };
  return {
    mean,
    sd: Math.sqrt(Math.max(0, square - mean * mean)),
    low: at(0.025),
    median: at(0.5),
    high: at(0.975),
  };
};
