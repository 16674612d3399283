import { inversePositive, quadratic } from '../mixed/dense';
import { normalQuantile } from '../distributions/normal';
import { tQuantile } from '../distributions/student';
import type { Turnbull } from './turnbull';

/** The curve after a step, with limits; undefined where they can't be had. */
export type CurvePoint = {
  readonly from: number;
  readonly to: number;
  readonly exact: boolean;
  readonly mass: number;
  readonly survival: number;
  readonly se: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
};

/**
 * Where the curve comes down to one half: after `from`, no later than `to`, and where between them
 * is not known. `low` and `high`: the same of its limits. Undefined where a curve stays above.
 */
export type MedianStretch = {
  readonly from: number | undefined;
  readonly to: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
};

export type CurveWithLimits = {
  readonly points: readonly CurvePoint[];
  readonly median: MedianStretch;
};

/** Covariances of the masses of all steps, row-major: values one by one, and by cluster. */
type MassCovariance = { readonly plain: Float64Array; readonly clustered?: Float64Array };

/** Undefined where the masses can't be told apart, and with a single cluster. */
const massCovariance = (
  { steps, within, n, unique }: Turnbull,
  cluster: ArrayLike<number> | undefined,
): MassCovariance | undefined => {
  const k = steps.length;
  if (!unique) return undefined;
  const upTo = [0];
  steps.forEach(({ mass }, j) => upTo.push(upTo[j] + mass));
  const h = new Float64Array(k * k);
  const pull = new Map<number, Float64Array>();
  for (let i = 0; i < n; i++) {
    const first = within.first[i];
    const last = within.last[i];
    const p = upTo[last + 1] - upTo[first];
    const key = cluster?.[i] ?? i;
    const own = pull.get(key) ?? new Float64Array(k);
    pull.set(key, own);
    for (let a = 0; a < k; a++) own[a]--;
    for (let a = first; a <= last; a++) {
      own[a] += 1 / p;
      for (let b = first; b <= last; b++) h[a * k + b] += 1 / (p * p);
    }
  }
  const inverse = inversePositive(h, k);
  if (inverse === undefined || (cluster !== undefined && pull.size < 2)) return undefined;
  // The masses add up to 1: what is left of the inverse is M = H^-1 - p p' / n.
  const plain = inverse.map(
    (v, at) => v - (steps[Math.floor(at / k)].mass * steps[at % k].mass) / n,
  );
  if (cluster === undefined) return { plain };
  const cov = new Float64Array(k * k);
  for (const own of pull.values()) {
    const moved = Float64Array.from({ length: k }, (_, a) => {
      let sum = 0;
      for (let b = 0; b < k; b++) sum += plain[a * k + b] * own[b];
      return sum;
    });
    for (let a = 0; a < k; a++) for (let b = 0; b < k; b++) cov[a * k + b] += moved[a] * moved[b];
  }
  return { plain, clustered: cov.map((v) => (v * pull.size) / (pull.size - 1)) };
};

/** Plots that happen to agree do not know more than their plants: the larger of the two counts. */
const spreadOf = ({ plain, clustered }: MassCovariance, sum: Float64Array): number =>
  Math.sqrt(
    Math.max(0, quadratic(sum, plain, sum), clustered ? quadratic(sum, clustered, sum) : 0),
  );

/** Limits on log(-log): within 0 and 1. */
const limitsOf = (survival: number, se: number | undefined, reach: number) => {
  if (se === undefined || !(survival > 0 && survival < 1))
    return { low: undefined, high: undefined };
  const log = Math.log(survival);
  const half = (reach * se) / (survival * -log);
  return { low: Math.exp(log * Math.exp(half)), high: Math.exp(log * Math.exp(-half)) };
};

/** Rounding of a share that is one half. */
const HALF = 0.5 + 1e-9;

const medianOf = (points: readonly CurvePoint[]): MedianStretch => {
  const at = points.findIndex(({ survival }) => survival < HALF);
  const none = { from: undefined, to: undefined, low: undefined, high: undefined };
  const ends = (found: CurvePoint | undefined): CurvePoint | undefined =>
    found?.to === Infinity ? undefined : found;
  const here = ends(points[at]);
  const low = points.find((point) => (point.low ?? point.survival) < HALF);
  const high = points.find((point) => (point.high ?? point.survival) < HALF);
  const limits = { low: ends(low)?.from, high: ends(high)?.to };
  if (here === undefined) return { ...none, ...limits };
  // A curve lying at one half exactly: any day until the end of its next fall is a median.
  const flat = Math.abs(here.survival - 0.5) < 1e-9;
  const to = flat ? points[at + 1].to : here.to;
  return { from: here.exact ? here.to : here.from, to: to === Infinity ? here.to : to, ...limits };
};

/**
 * Turnbull's curve with 95 % limits for each share by itself, and its median. The spread comes
 * from the observed information; with `cluster` (the plot of each value) from how the plots differ
 * among themselves, plants of a plot going together (the sandwich of Huber 1967, Proc. Fifth
 * Berkeley Symp. 1:221-233, times plots / (plots - 1)) where that is more, with Student's t on
 * plots - 1. Limits are made on log(-log S), and hold at the ends of the steps only. None where
 * masses can be moved without changing the likelihood, or with one plot.
 */
export function curveWithLimits(
  curve: Turnbull,
  cluster?: ArrayLike<number>,
  confidence = 0.95,
): CurveWithLimits {
  const k = curve.steps.length;
  const covariance = massCovariance(curve, cluster);
  const clusters = cluster === undefined ? Infinity : new Set(Array.from(cluster)).size;
  const level = (1 + confidence) / 2;
  const reach =
    clusters === Infinity
      ? normalQuantile(level)
      : clusters > 1
        ? tQuantile(level, clusters - 1)
        : Infinity;
  const points = curve.steps.map((step, at): CurvePoint => {
    const sum = new Float64Array(k).fill(1, 0, at + 1);
    const se = covariance && at < k - 1 ? spreadOf(covariance, sum) : undefined;
    return { ...step, se, ...limitsOf(step.survival, se, reach) };
  });
  return { points, median: medianOf(points) };
}
