import type { Random } from '../random';
import { type LayoutSet, factorial } from './layout-set';

/** Why an interval has no ends. */
export type PairReason =
  /** No stratum holds a plot of both with a value. */
  | 'never-together'
  /** So few exchanges that even the most extreme shift is not rejected: unbounded. */
  | 'too-few-layouts'
  /** The layouts can only be drawn, so those that exchange just these two are not known. */
  | 'layouts-only-drawn'
  /** The values are adjusted for covariates; exchanging two labels of the raw ones is another question. */
  | 'covariates'
  /** The caller does without. */
  | 'not-asked';

/** An additive effect, treatment minus control, by exchanging the labels of these two only. */
export type PairInterval = {
  readonly estimate: number | null;
  /** Two-sided p of no effect. */
  readonly p: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly reason?: PairReason;
  /** Exchanges walked (all of them when enumerated), the drawn one among them. */
  readonly layouts: number;
  readonly enumerated: boolean;
};

export type PairRequest = {
  readonly y: Float64Array;
  readonly labels: ArrayLike<number>;
  readonly layouts: LayoutSet;
  readonly treatment: number;
  readonly control: number;
  /** 1 - confidence. */
  readonly alpha: number;
  readonly random: Random;
  readonly maxLayouts?: number;
  readonly draws?: number;
};

/** One stratum's plots of the two: values, which were the treatment, weight of its difference. */
type Stratum = { readonly y: number[]; readonly treated: number[]; readonly weight: number };

const MAX_LAYOUTS = 65_536;
const DRAWS = 49_999;

/** Adds (or takes) one more exchange: difference d of the relabelled y, and g of the shifted plots. */
type Sink = (d: number, g: number) => void;

const collect = (request: PairRequest, positions: readonly number[]): Stratum => {
  const y: number[] = [];
  const treated: number[] = [];
  for (const p of positions) {
    const l = request.labels[p];
    if (Number.isNaN(request.y[p]) || (l !== request.treatment && l !== request.control)) continue;
    y.push(request.y[p]);
    treated.push(l === request.treatment ? 1 : 0);
  }
  const a = treated.reduce((s, x) => s + x, 0);
  return { y, treated, weight: (a * (y.length - a)) / Math.max(1, y.length) };
};

/** Weighted difference of means when `chosen` marks the treated plots of one stratum. */
const difference = (values: readonly number[], chosen: readonly number[]): number => {
  const a = chosen.reduce((s, x) => s + x, 0);
  let sum = 0;
  let all = 0;
  values.forEach((v, i) => {
    sum += v * chosen[i];
    all += v;
  });
  return sum / a - (all - sum) / (values.length - a);
};

const term = (stratum: Stratum, chosen: readonly number[]): readonly [number, number] => [
  stratum.weight * difference(stratum.y, chosen),
  stratum.weight * difference(stratum.treated, chosen),
];

const subsets = (size: number, pick: number): number[][] => {
  if (pick === 0) return [new Array<number>(size).fill(0)];
  if (pick === size) return [new Array<number>(size).fill(1)];
  return [
    ...subsets(size - 1, pick - 1).map((s) => [1, ...s]),
    ...subsets(size - 1, pick).map((s) => [0, ...s]),
  ];
};

const exchangeCount = (strata: readonly Stratum[]): bigint =>
  strata.reduce((product, { y, treated }) => {
    const a = treated.reduce((s, x) => s + x, 0);
    return product * (factorial(y.length) / factorial(a) / factorial(y.length - a));
  }, 1n);

const enumerate = (strata: readonly Stratum[], sink: Sink): void => {
  const choices = strata.map((s) =>
    subsets(
      s.y.length,
      s.treated.reduce((sum, x) => sum + x, 0),
    ).map((chosen) => term(s, chosen)),
  );
  const total = strata.reduce((sum, s) => sum + s.weight, 0);
  const descend = (i: number, d: number, g: number): void => {
    if (i === choices.length) sink(d / total, g / total);
    else for (const [dd, gg] of choices[i]) descend(i + 1, d + dd, g + gg);
  };
  descend(0, 0, 0);
};

const sample = (strata: readonly Stratum[], draws: number, random: Random, sink: Sink): void => {
  const total = strata.reduce((sum, s) => sum + s.weight, 0);
  const chosen = strata.map((s) => s.treated.slice());
  const visit = (): void => {
    let d = 0;
    let g = 0;
    strata.forEach((s, i) => {
      const [dd, gg] = term(s, chosen[i]);
      d += dd;
      g += gg;
    });
    sink(d / total, g / total);
  };
  visit();
  for (let draw = 0; draw < draws; draw++) {
    for (const marks of chosen)
      for (let i = marks.length - 1; i > 0; i--) {
        const j = Math.floor(random.next() * 2 ** -32 * (i + 1));
        [marks[i], marks[j]] = [marks[j], marks[i]];
      }
    visit();
  }
};

/** The layouts of a list that differ from the drawn one only where these two stand. */
const fromList = (
  request: PairRequest,
  whole: Stratum,
  list: Uint8Array,
  count: number,
  sink: Sink,
): number => {
  const { labels, y, treatment, control } = request;
  const n = y.length;
  let found = 0;
  for (let row = 0; row < count; row++) {
    const chosen: number[] = [];
    let same = true;
    for (let p = 0; p < n && same; p++) {
      const ours = labels[p] === treatment || labels[p] === control;
      const label = list[row * n + p];
      // Labels at lost plots stay, so that what is compared has as many plots in every layout.
      if (!ours || Number.isNaN(y[p])) same = label === labels[p];
      else chosen.push(label === treatment ? 1 : 0);
    }
    if (!same) continue;
    found++;
    sink(difference(whole.y, chosen), difference(whole.treated, chosen));
  }
  return found;
};

const refuse = (reason: PairReason, estimate: number | null = null): PairInterval => ({
  estimate,
  p: null,
  low: null,
  high: null,
  reason,
  layouts: 0,
  enumerated: false,
});

/**
 * Interval for the effect of one treatment against the control: all shifts d for which the
 * exact test of "y - d on the treatment's plots equals the control" is not rejected at alpha.
 *
 * The labels of these two are exchanged within strata, everything else stays; given where the
 * other treatments stand (and which plots were lost) these layouts were equally likely, so test
 * and interval are exact whatever the other treatments do. Strata count by n_t n_c/(n_t + n_c).
 *
 * No search: with D the difference and g the share by which layout L carries the shift,
 * |D_L - d g_L| >= |D_obs - d| is (d(1-g) - (D_obs - D_L))(d(1+g) - (D_obs + D_L)) <= 0, an
 * interval of d between its two roots and around D_obs. The p-value thus falls on both sides of
 * D_obs and the ends are order statistics of the roots (for pairs, Walsh-type averages:
 * Lehmann 1975, Nonparametrics, 4.3).
 */
export function pairInterval(request: PairRequest): PairInterval {
  const { layouts, alpha, y } = request;
  if (layouts.kind === 'draw') return refuse('layouts-only-drawn');
  const groups = layouts.kind === 'strata' ? layouts.strata : [Array.from(y.keys())];
  const strata = groups.map((g) => collect(request, g)).filter((s) => s.weight > 0);
  if (strata.length === 0) return refuse('never-together');
  const observed =
    strata.reduce((sum, s) => sum + term(s, s.treated)[0], 0) /
    strata.reduce((sum, s) => sum + s.weight, 0);
  const size = y.reduce((m, v) => (Number.isNaN(v) ? m : Math.max(m, Math.abs(v))), 0);
  const limit = Math.abs(observed) * (1 - 1e-9) - 16 * Number.EPSILON * size * y.length;
  const lows: number[] = [];
  const highs: number[] = [];
  let extreme = 0;
  const sink: Sink = (d, g) => {
    const one = 1 - g < 1e-12 ? observed : (observed - d) / (1 - g);
    const two = 1 + g < 1e-12 ? observed : (observed + d) / (1 + g);
    const everywhere = Math.abs(g) > 1 - 1e-12;
    lows.push(everywhere ? -Infinity : Math.min(one, two));
    highs.push(everywhere ? Infinity : Math.max(one, two));
    if (Math.abs(d) >= limit) extreme++;
  };
  let enumerated = true;
  if (layouts.kind === 'list') {
    fromList(request, strata[0], layouts.labels, layouts.count, sink);
  } else {
    enumerated = exchangeCount(strata) <= BigInt(request.maxLayouts ?? MAX_LAYOUTS);
    if (enumerated) enumerate(strata, sink);
    else sample(strata, request.draws ?? DRAWS, request.random, sink);
  }
  const found = { estimate: observed, p: extreme / lows.length, layouts: lows.length, enumerated };
  return { ...found, ...ends(lows, highs, alpha) };
}

/** The smallest and largest shift whose share of layouts is above alpha. */
const ends = (
  lows: readonly number[],
  highs: readonly number[],
  alpha: number,
): Pick<PairInterval, 'low' | 'high' | 'reason'> => {
  const place = Math.floor(alpha * lows.length * (1 + 1e-12));
  const low = Float64Array.from(lows).sort()[place];
  const high = Float64Array.from(highs).sort()[highs.length - 1 - place];
  return Number.isFinite(low) && Number.isFinite(high)
    ? { low, high }
    : { low: null, high: null, reason: 'too-few-layouts' };
};
