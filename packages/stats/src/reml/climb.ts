import { dot, times } from '../mixed/dense';
import { freeInverse } from '../mixed/maximise';
import type { Theta } from './covariance';
import { gradientAt, type Place, placeAt } from './likelihood';
import type { Model } from './model';

/** Expected further gain of the log-likelihood at which the search stops. */
const THERE = 1e-13;
/** A search that can't rise any more counts as done below this. */
const NEAR = 1e-8;
const MOST_STEPS = 200;
/** The residual variance stays above this share of the largest, or the covariance is none. */
const LEAST_RESIDUAL = 1e-9;
const LARGEST_RHO = 1 - 1e-6;

export type Climb = {
  readonly place: Place;
  /** Parameters that stand at an end of their range. */
  readonly held: readonly boolean[];
  readonly steps: number;
  readonly converged: boolean;
};

type Range = { readonly low: number; readonly high: number };

/** Where each parameter may go, given the others. */
function rangesOf(model: Model, theta: Theta): Range[] {
  const terms = model.random.length;
  const largest = Math.max(...theta.subarray(0, terms + 1));
  const variances = model.random.map(() => ({
    low: model.belowZero ? -Infinity : 0,
    high: Infinity,
  }));
  const residual = { low: LEAST_RESIDUAL * largest, high: Infinity };
  if (!model.serial) return [...variances, residual];
  const low = model.serial.kind === 'ar1' ? -LARGEST_RHO : 0;
  return [...variances, residual, { low, high: LARGEST_RHO }];
}

/** At an end of its range with the likelihood rising only outwards. */
const heldAt = (theta: Theta, slope: Float64Array, ranges: readonly Range[]): boolean[] =>
  ranges.map(
    ({ low, high }, i) => (theta[i] <= low && slope[i] <= 0) || (theta[i] >= high && slope[i] >= 0),
  );

/** Information with its diagonal raised by a share, so that it can be inverted and steps shorten. */
function damped(average: Float64Array, share: number): Float64Array {
  const n = Math.sqrt(average.length);
  const out = average.slice();
  for (let i = 0; i < n; i++) out[i * n + i] *= 1 + share;
  return out;
}

const clipped = (theta: Theta, step: Float64Array, ranges: readonly Range[]): Theta =>
  theta.map((value, i) => Math.min(ranges[i].high, Math.max(ranges[i].low, value + step[i])));

/**
 * Climbs the likelihood by Newton steps with the average information, damped where a step does not
 * rise (Levenberg-Marquardt), within the parameters' ranges. After each step the variances are
 * multiplied by the one number that is best.
 */
export function climb(model: Model, start: Theta): Climb | undefined {
  const first = placeAt(model, start, true);
  if (!first) return undefined;
  let place: Place = first;
  let gradient = gradientAt(model, place);
  let damping = 0;
  for (let steps = 0; ; steps++) {
    const ranges = rangesOf(model, place.theta);
    const held = heldAt(place.theta, gradient.slope, ranges);
    const slope = gradient.slope.map((value, i) => (held[i] ? 0 : value));
    const inverse = freeInverse(damped(gradient.average, damping), held);
    const step = inverse && times(inverse, slope);
    const gain = step ? dot(step, slope) / 2 : Infinity;
    const done = gain < THERE * (1 + damping);
    if (done || steps >= MOST_STEPS) {
      const last =
        done && step ? placeAt(model, clipped(place.theta, step, ranges), true) : undefined;
      // The last step gains less than rounding shows, yet brings digits to the parameters.
      if (last && last.logLik > place.logLik - NEAR) place = last;
      return { place, held, steps, converged: done };
    }
    const next: Place | undefined =
      step && placeAt(model, clipped(place.theta, step, ranges), true);
    if (next && next.logLik > place.logLik) {
      place = next;
      gradient = gradientAt(model, place);
      damping = damping < 1e-3 ? 0 : damping / 10;
      continue;
    }
    // Not risen beyond rounding: as far as can be told, the top.
    if (damping > 1e8) return { place, held, steps, converged: gain < NEAR };
    damping = Math.max(1e-3, damping * 10);
  }
}
