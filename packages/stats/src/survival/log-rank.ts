import { chiSquareUpper } from '../distributions/gamma';
import type { Follow } from './kaplan-meier';
import { quadraticForm } from './quadratic-form';

/**
 * Observed and expected events for each group, and the test; or why there is none: fewer than two
 * groups ever at risk together (`too-few`) or nothing happened (`no-events`).
 */
export type LogRank = {
  readonly observed: Float64Array;
  readonly expected: Float64Array;
} & (
  | { readonly known: true; readonly statistic: number; readonly df: number; readonly p: number }
  | { readonly known: false; readonly why: 'too-few' | 'no-events' }
);

type Totals = {
  readonly observed: Float64Array;
  readonly expected: Float64Array;
  readonly variance: Float64Array;
};

/** Adds one event time: `events` of `atRisk`, `here` of them in each group. */
function addTime(totals: Totals, here: Float64Array, atRisk: number, events: number): void {
  const groups = here.length;
  const spread = atRisk > 1 ? (events * (atRisk - events)) / (atRisk - 1) : 0;
  for (let i = 0; i < groups; i++) {
    const share = here[i] / atRisk;
    if (share === 0) continue;
    totals.expected[i] += events * share;
    for (let j = 0; j < groups; j++) {
      totals.variance[i * groups + j] += spread * share * ((i === j ? 1 : 0) - here[j] / atRisk);
    }
  }
}

/** Walks one stratum from its last time back, so that those at risk are those already met. */
function addStratum(
  totals: Totals,
  follow: Follow & { readonly group: ArrayLike<number> },
  latestFirst: readonly number[],
): void {
  const { time, happened, group } = follow;
  const here = new Float64Array(totals.observed.length);
  for (let from = 0; from < latestFirst.length; ) {
    const now = time[latestFirst[from]];
    let events = 0;
    while (from < latestFirst.length && time[latestFirst[from]] === now) {
      const i = latestFirst[from++];
      here[group[i]]++;
      if (!happened[i]) continue;
      events++;
      totals.observed[group[i]]++;
    }
    if (events > 0) addTime(totals, here, from, events);
  }
}

function strataOf(time: ArrayLike<number>, stratum: ArrayLike<number> | undefined): number[][] {
  const strata = new Map<number, number[]>();
  for (let i = 0; i < time.length; i++) {
    const key = stratum?.[i] ?? 0;
    const members = strata.get(key);
    if (members) members.push(i);
    else strata.set(key, [i]);
  }
  return [...strata.values()].map((members) => members.sort((i, j) => time[j] - time[i]));
}

/**
 * The log-rank test of `groups` groups (Mantel 1966, Cancer Chemotherapy Reports 50:163-170; Peto &
 * Peto 1972, JRSS A 135:185-207): observed less expected events, with their hypergeometric variance,
 * as chi-square. With `stratum`, plants are compared within their block only and the differences
 * added up. Group and stratum are whole numbers from 0.
 *
 * The plants count as independent; in plots of several plants it errs towards finding differences.
 *
 * @throws RangeError for columns of different length or a group out of range.
 */
export function logRank(
  input: Follow & {
    readonly group: ArrayLike<number>;
    readonly groups: number;
    readonly stratum?: ArrayLike<number>;
  },
): LogRank {
  const { time, happened, group, groups, stratum } = input;
  const n = time.length;
  if (happened.length !== n || group.length !== n || (stratum && stratum.length !== n)) {
    throw new RangeError('time, happened, group and stratum must be of one length');
  }
  for (let i = 0; i < n; i++) {
    if (group[i] >= 0 && group[i] < groups && Number.isInteger(group[i])) continue;
    throw new RangeError(`group must be 0 to ${groups - 1}; got ${group[i]} for value ${i}`);
  }
  const observed = new Float64Array(groups);
  const expected = new Float64Array(groups);
  const variance = new Float64Array(groups * groups);
  const totals = { observed, expected, variance };
  for (const members of strataOf(time, stratum)) addStratum(totals, input, members);
  if (!happened.includes(true)) return { observed, expected, known: false, why: 'no-events' };
  const difference = observed.map((count, i) => count - expected[i]);
  const { value, rank } = quadraticForm(difference, variance);
  if (rank === 0) return { observed, expected, known: false, why: 'too-few' };
  const p = chiSquareUpper(value, rank);
  return { observed, expected, known: true, statistic: value, df: rank, p };
}
