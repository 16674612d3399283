import { normalQuantile, upperTail } from '../distributions/normal';
import { rootBetween } from '../distributions/root';
import { advance, crossing, crossingSlope, crossingWithDrift, type Front, start } from './crossing';
import { alphaSpent, type Spending } from './spending';

/** Two-sided bounds for a normal statistic looked at several times. */
export type Bounds = {
  /** Share of the information that is in at each look. */
  readonly information: readonly number[];
  /** Reject at look k when |Z_k| >= z[k]; Infinity where nothing may be spent. */
  readonly z: readonly number[];
  /** Two-sided p of each bound were its look the only one. */
  readonly nominalP: readonly number[];
  /** Chance of having crossed by each look when there is no effect. */
  readonly cumulativeAlpha: readonly number[];
};

const requireAlpha = (alpha: number): void => {
  if (!(alpha > 0 && alpha < 1)) {
    throw new RangeError(`alpha must be between 0 and 1; got ${alpha}`);
  }
};

function requireInformation(information: readonly number[]): void {
  if (information.length === 0) throw new RangeError('information must name at least one look');
  information.forEach((t, k) => {
    const before = information[k - 1] ?? 0;
    if (!(t > before && t < Infinity)) {
      throw new RangeError(`information must rise from above 0; got ${t} after ${before}`);
    }
  });
}

const twoSided = (z: number): number => (z === Infinity ? 0 : 2 * upperTail(z));

/** Chance of having crossed at or before each look. */
function crossed(z: readonly number[], information: readonly number[]): number[] {
  let front = start;
  let sum = 0;
  return information.map((time, k) => {
    sum += crossing(front, time, z[k]);
    if (k + 1 < z.length) front = advance(front, time, z[k], information[k + 1]);
    return sum;
  });
}

/**
 * Bounds C t^(shape - 1/2) with the constant that makes the whole error rate `alpha`: shape 0 is
 * O'Brien & Fleming 1979 (Biometrics 35:549; C sqrt(K/k) at equal looks), 1/2 Pocock 1977
 * (Biometrika 64:191), between them Wang & Tsiatis 1987 (Biometrics 43:193). The constant stands
 * for bounds at t = 1, so `information` must end there. Jennison & Turnbull 2000, chapter 2.
 *
 * @throws RangeError for information that does not rise from above 0 to 1, alpha not between 0 and
 * 1, or a shape outside -1 to 1/2.
 */
export function classicalBounds(request: {
  readonly information: readonly number[];
  readonly alpha: number;
  readonly shape: number;
}): Bounds & { readonly constant: number } {
  const { information, alpha, shape } = request;
  requireAlpha(alpha);
  requireInformation(information);
  if (information.at(-1) !== 1) {
    throw new RangeError(`information must end at 1; got ${information.at(-1) ?? ''}`);
  }
  if (!(shape >= -1 && shape <= 0.5)) {
    throw new RangeError(`shape must be from -1 to 0.5; got ${shape}`);
  }
  const at = (constant: number): number[] => information.map((t) => constant * t ** (shape - 0.5));
  const excess = (constant: number): number =>
    Math.log((crossed(at(constant), information).at(-1) ?? 0) / alpha);
  // No bound is below the last one, so C lies between one look's bound and Bonferroni's.
  const least = normalQuantile(alpha / 2, 'upper');
  const most = normalQuantile(alpha / (2 * information.length), 'upper');
  const constant = least === most ? least : rootBetween(excess, least, most, 1e-13);
  const z = at(constant);
  return {
    constant,
    information,
    z,
    nominalP: z.map(twoSided),
    cumulativeAlpha: crossed(z, information),
  };
}

/**
 * The bound at `time` that adds `spend` to the chance of having crossed. The logarithm of that
 * chance is concave in the bound (a log-concave density), so that Newton's steps from above come
 * down to the root without passing it. Above it lie the bound of a look by itself, and that of a
 * step from the edge of what has stayed within the bounds.
 */
function boundFor(front: Front, time: number, spend: number): number {
  if (!(spend > 0)) return Infinity;
  const alone = normalQuantile(spend / 2, 'upper');
  const fromEdge = (front.reach + Math.sqrt(time - front.time) * alone) / Math.sqrt(time);
  let z = Math.min(alone, fromEdge);
  for (let step = 0; step < 60; step++) {
    const chance = crossing(front, time, z);
    const change = (Math.log(chance / spend) * chance) / -crossingSlope(front, time, z);
    z += change;
    if (Math.abs(change) < 1e-13 * z || change > 0) return z;
  }
  return z;
}

/**
 * Bounds that spend the error rate as `spending` says, at whatever looks were held (Lan & DeMets
 * 1983, Biometrika 70:659): each bound depends on the looks up to it alone. Where a look may spend
 * nothing (its information no more than 0, or all is spent) its bound is Infinity.
 *
 * @throws RangeError for information that does not rise from above 0, or alpha not between 0 and 1.
 */
export function spendingBounds(request: {
  readonly information: readonly number[];
  readonly alpha: number;
  readonly spending: Spending;
}): Bounds {
  const { information, alpha, spending } = request;
  requireAlpha(alpha);
  requireInformation(information);
  let front = start;
  let before = 0;
  const z = information.map((time, k) => {
    const now = alphaSpent(spending, time, alpha);
    const bound = boundFor(front, time, now - before);
    before = now;
    if (k + 1 < information.length) front = advance(front, time, bound, information[k + 1]);
    return bound;
  });
  return {
    information,
    z,
    nominalP: z.map(twoSided),
    cumulativeAlpha: information.map((t) => alphaSpent(spending, t, alpha)),
  };
}

/**
 * Chance of stopping at each look, above and below, when the statistic drifts: E Z(t) =
 * drift sqrt(t). Drift 0 gives the error spent; the sum over looks is the power. Jennison &
 * Turnbull 2000, section 19.3.
 */
export function stoppingChances(
  { z, information }: Pick<Bounds, 'z' | 'information'>,
  drift: number,
): { readonly up: readonly number[]; readonly down: readonly number[] } {
  requireInformation(information);
  let front = start;
  const chances = information.map((time, k) => {
    const here = crossingWithDrift(front, { time, z: z[k], drift });
    if (k + 1 < z.length) front = advance(front, time, z[k], information[k + 1]);
    return here;
  });
  return { up: chances.map(({ up }) => up), down: chances.map(({ down }) => down) };
}
