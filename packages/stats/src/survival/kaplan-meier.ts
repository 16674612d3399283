import { normalQuantile } from '../distributions/normal';

/** Days until something happened, or until watching ended without it (`happened` false). */
export type Follow = {
  readonly time: ArrayLike<number>;
  readonly happened: readonly boolean[];
};

/** The curve just after a time at which events happened. */
export type SurvivalStep = {
  readonly time: number;
  readonly atRisk: number;
  readonly events: number;
  /** Share still without the event. */
  readonly survival: number;
  /** Undefined once the share is 0: Greenwood's formula has no value there. */
  readonly se: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
};

/** Where the curve, and its limits, come down to one half; undefined where they never do. */
export type MedianTime = {
  readonly days: number | undefined;
  readonly low: number | undefined;
  readonly high: number | undefined;
};

export type KaplanMeier = {
  readonly n: number;
  readonly events: number;
  readonly steps: readonly SurvivalStep[];
  readonly median: MedianTime;
};

/**
 * First time the values are below one half. A curve lying at one half exactly is met half-way to
 * its next drop (Brookmeyer & Crowley 1982, Biometrics 38:29-41, and the usual programs).
 */
function firstHalf(
  steps: readonly SurvivalStep[],
  pick: (step: SurvivalStep) => number | undefined,
): number | undefined {
  const near = 1.5e-8;
  const at = steps.findIndex((step) => (pick(step) ?? Infinity) < 0.5 + near);
  if (at < 0) return undefined;
  const here = pick(steps[at]) ?? 0;
  if (Math.abs(here - 0.5) >= near) return steps[at].time;
  const next = steps.slice(at + 1).find((step) => (pick(step) ?? Infinity) < here);
  return next === undefined ? steps[at].time : (steps[at].time + next.time) / 2;
}

function timeOrder({ time, happened }: Follow): number[] {
  if (time.length !== happened.length) {
    throw new RangeError(
      `time and happened must be of one length; got ${time.length} and ${happened.length}`,
    );
  }
  return Array.from({ length: time.length }, (_, i) => i).sort((i, j) => time[i] - time[j]);
}

/**
 * Kaplan and Meier's product-limit curve (1958, JASA 53:457-481) with Greenwood's variance and
 * intervals on the logarithm, exp(log S -+ z se / S), cut at 1; the median and its interval are
 * where the curve and its limits reach one half. One with no event at all has no steps and no
 * median. Events at a time come before withdrawals at that time.
 *
 * @throws RangeError when time and happened are not of one length.
 */
export function kaplanMeier(follow: Follow, confidence = 0.95): KaplanMeier {
  const { time, happened } = follow;
  const order = timeOrder(follow);
  const n = order.length;
  const z = normalQuantile((1 + confidence) / 2);
  const steps: SurvivalStep[] = [];
  let survival = 1;
  let greenwood = 0;
  let total = 0;
  for (let from = 0; from < n; ) {
    const now = time[order[from]];
    const atRisk = n - from;
    let events = 0;
    while (from < n && time[order[from]] === now) if (happened[order[from++]]) events++;
    if (events === 0) continue;
    total += events;
    survival *= (atRisk - events) / atRisk;
    greenwood += events / (atRisk * (atRisk - events));
    const relative = survival > 0 ? Math.sqrt(greenwood) : undefined;
    const factor = relative === undefined ? undefined : Math.exp(z * relative);
    steps.push({
      time: now,
      atRisk,
      events,
      survival,
      se: relative === undefined ? undefined : survival * relative,
      low: factor === undefined ? undefined : survival / factor,
      high: factor === undefined ? undefined : Math.min(1, survival * factor),
    });
  }
  const median = {
    days: firstHalf(steps, (step) => step.survival),
    low: firstHalf(steps, (step) => step.low),
    high: firstHalf(steps, (step) => step.high),
  };
  return { n, events: total, steps, median };
}
