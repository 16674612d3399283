import type { Problem } from '@fairbed/field';
import { type LeafAccount, type LeafEntry, leafAccounts, type Losses } from './leaf-account';
import { plotValues, tallyOf } from './outcomes';
import { present } from './present';
import type { LossCause, Trial } from './schema';
import type { Tally } from './tally';

/** Leaves per plant at a round, and totals up to and including it. */
export type LeafPoint = {
  readonly day: number;
  readonly date?: string;
  readonly standing: number;
  readonly healthy?: number;
  readonly diseased?: number;
  readonly strippedSoFar?: number;
  readonly lostSoFar?: number;
  readonly newSoFar: number;
  readonly cumulativeDiseased?: number;
};

/** Leaves per plant over the whole trial, of a plot or, as the mean of its plots, a treatment. */
export type LeafTotals = {
  /** Leaves that opened after the first round; net of whatever `netOf` names. */
  readonly newLeaves?: number;
  readonly stripped?: number;
  readonly lost?: number;
  readonly losses?: Losses;
  /** Diseased at the last round and all diseased ones stripped before. */
  readonly cumulativeDiseased?: number;
  /** Area under the standing healthy leaves, leaf-days. */
  readonly healthyLeafDays?: number;
};

export type LeafBalance = {
  readonly accounts: readonly LeafAccount[];
  readonly plots: ReadonlyMap<
    string,
    { readonly totals: LeafTotals; readonly points: readonly LeafPoint[] }
  >;
  /** Plots without a full series (lost ones) take no part in a treatment's totals. */
  readonly treatments: readonly {
    readonly treatment: string;
    readonly plots: number;
    readonly totals: LeafTotals;
    readonly points: readonly LeafPoint[];
  }[];
  /** What was never written down, so that new leaves are net of it. */
  readonly netOf: readonly ('stripping' | 'losses')[];
  readonly problems: readonly Problem[];
};

/**
 * Mean of what is known, undefined where nothing is. With `units`, the sum is shared among that
 * many plants: a plot scored in whole stands for all of its plants.
 */
function mean(values: readonly (number | undefined)[], units?: readonly number[]) {
  let sum = 0;
  let over = 0;
  values.forEach((value, i) => {
    if (value === undefined) return;
    sum += value;
    over += units?.[i] ?? 1;
  });
  return over === 0 ? undefined : sum / over;
}

/** Running totals of an account up to each of its lines. */
function runningTotals(entries: readonly LeafEntry[]) {
  let stripped: number | undefined;
  let lost: number | undefined;
  let fresh = 0;
  return entries.map((line) => {
    if (line.stripped !== undefined) stripped = (stripped ?? 0) + line.stripped;
    if (line.lost !== undefined) lost = (lost ?? 0) + line.lost;
    fresh += line.newLeaves ?? 0;
    return { line, stripped, lost, fresh };
  });
}

type Running = ReturnType<typeof runningTotals>[number];

/** A plot's leaves per plant at each round: the mean of the plants scored in it. */
function plotPoints(tally: Tally, accounts: readonly LeafAccount[]): LeafPoint[] {
  const byRound = new Map<number, { lines: Running[]; units: number[] }>();
  for (const { entries, units } of accounts) {
    for (const running of runningTotals(entries)) {
      if (running.line.standing === undefined) continue;
      const here = byRound.get(running.line.at) ?? { lines: [], units: [] };
      here.lines.push(running);
      here.units.push(units);
      byRound.set(running.line.at, here);
    }
  }
  return [...byRound]
    .sort(([a], [b]) => a - b)
    .map(([at, { lines, units }]): LeafPoint => {
      const over = (pick: (running: Running) => number | undefined) => mean(lines.map(pick), units);
      return {
        day: tally.timeline.days[at] ?? 0,
        standing: over(({ line }) => line.standing) ?? 0,
        newSoFar: over(({ fresh }) => fresh) ?? 0,
        ...present({
          date: tally.timeline.rounds[at]?.day,
          healthy: over(({ line }) => line.healthy),
          diseased: over(({ line }) => line.diseased),
          strippedSoFar: over(({ stripped }) => stripped),
          lostSoFar: over(({ lost }) => lost),
          cumulativeDiseased: over(({ line }) => line.cumulativeDiseased),
        }),
      };
    });
}

function lossesPerPlant(accounts: readonly LeafAccount[]): Losses {
  const sums: Partial<Record<LossCause, number>> = {};
  let units = 0;
  for (const account of accounts) {
    units += account.units;
    for (const { losses } of account.entries) {
      for (const [why, leaves] of Object.entries(losses ?? {})) {
        const cause = why as LossCause;
        sums[cause] = (sums[cause] ?? 0) + leaves;
      }
    }
  }
  return Object.fromEntries(Object.entries(sums).map(([why, leaves]) => [why, leaves / units]));
}

function meanPoints(plots: readonly (readonly LeafPoint[])[]): LeafPoint[] {
  const byDay = new Map<number, LeafPoint[]>();
  for (const point of plots.flat()) {
    byDay.set(point.day, [...(byDay.get(point.day) ?? []), point]);
  }
  return [...byDay]
    .sort(([a], [b]) => a - b)
    .map(([day, points]) => {
      const over = (pick: (point: LeafPoint) => number | undefined) => mean(points.map(pick));
      return {
        day,
        standing: over((p) => p.standing) ?? 0,
        newSoFar: over((p) => p.newSoFar) ?? 0,
        ...present({
          date: points[0]?.date,
          healthy: over((p) => p.healthy),
          diseased: over((p) => p.diseased),
          strippedSoFar: over((p) => p.strippedSoFar),
          lostSoFar: over((p) => p.lostSoFar),
          cumulativeDiseased: over((p) => p.cumulativeDiseased),
        }),
      };
    });
}

function meanTotals(totals: readonly LeafTotals[]): LeafTotals {
  const over = (pick: (one: LeafTotals) => number | undefined) => mean(totals.map(pick));
  const causes = [...new Set(totals.flatMap(({ losses }) => Object.keys(losses ?? {})))];
  const losses = totals.some((one) => one.losses !== undefined)
    ? Object.fromEntries(
        causes.map((why) => [
          why,
          mean(totals.map(({ losses: l }) => l && (l[why as LossCause] ?? 0))) ?? 0,
        ]),
      )
    : undefined;
  return present({
    newLeaves: over((t) => t.newLeaves),
    stripped: over((t) => t.stripped),
    lost: over((t) => t.lost),
    losses,
    cumulativeDiseased: over((t) => t.cumulativeDiseased),
    healthyLeafDays: over((t) => t.healthyLeafDays),
  });
}

function netNotes(netOf: LeafBalance['netOf']): Problem[] {
  return netOf.map((what) => ({
    kind: 'note',
    code: `${what}-not-recorded`,
    what:
      what === 'losses'
        ? 'Leaves lost to storm, pests or age were not written down, so new leaves are net of them.'
        : "Stripped leaves were not written down, so diseased leaves taken off before can't be counted and new leaves are net of them.",
    do: `Write down ${what === 'losses' ? 'lost' : 'stripped'} leaves at every round, 0 where there were none.`,
  }));
}

/** Lines of the accounts that bridge missed rounds, as one note. */
function gapNotes(accounts: readonly LeafAccount[]): Problem[] {
  const gaps = accounts.flatMap(({ entries }) => entries.flatMap(({ gapDays }) => gapDays ?? []));
  if (gaps.length === 0) return [];
  return [
    {
      kind: 'note',
      code: 'rounds-missed',
      what: `${gaps.length} plant counts come after a missed round (at most ${Math.max(...gaps)} days since the one before); what was stripped or lost in between is not known and nothing was made up for it.`,
      do: 'Add the missing counts if you have them.',
    },
  ];
}

type PlotBalance = { readonly totals: LeafTotals; readonly points: readonly LeafPoint[] };

function plotBalances(
  tally: Tally,
  accounts: readonly LeafAccount[],
): ReadonlyMap<string, PlotBalance> {
  const byPlot = new Map<string, LeafAccount[]>();
  for (const account of accounts) {
    const list = byPlot.get(account.plot) ?? [];
    list.push(account);
    byPlot.set(account.plot, list);
  }
  const cumulative = plotValues(tally, 'diseased-cumulative');
  const healthy = plotValues(tally, 'healthy-leaf-days');
  // Not the last round of incidence: a plot stripped bare has no incidence, but it has an account.
  const lastRound = healthy.last?.id;
  const end = tally.timeline.days[tally.timeline.rounds.findIndex(({ id }) => id === lastRound)];
  const balanceOf = (plot: string, own: readonly LeafAccount[]): PlotBalance => {
    const points = plotPoints(tally, own);
    const last = end === undefined ? points.at(-1) : points.find(({ day }) => day === end);
    if (last === undefined) return { totals: {}, points };
    const totals: LeafTotals = present({
      newLeaves: points.length > 1 ? last.newSoFar : undefined,
      stripped: last.strippedSoFar,
      lost: last.lostSoFar,
      losses: tally.recorded.losses ? lossesPerPlant(own) : undefined,
      cumulativeDiseased: cumulative.values.get(plot),
      healthyLeafDays: healthy.values.get(plot),
    });
    return { totals, points };
  };
  return new Map(
    tally.plots.flatMap((plot) => {
      const own = byPlot.get(plot);
      return own === undefined ? [] : [[plot, balanceOf(plot, own)] as const];
    }),
  );
}

function treatmentBalances(
  trial: Trial,
  plots: ReadonlyMap<string, PlotBalance>,
): LeafBalance['treatments'] {
  return trial.treatments.map(({ id }) => {
    const all = trial.plots
      .filter(({ treatment }) => treatment === id)
      .flatMap((plot) => plots.get(plot.id) ?? []);
    const whole = all.filter(({ totals }) => Object.keys(totals).length > 0);
    // A plot that drops out half way would make totals so far fall back; it is shown by itself.
    const shown = whole.length > 0 ? whole : all;
    return {
      treatment: id,
      plots: whole.length,
      totals: meanTotals(whole.map(({ totals }) => totals)),
      points: meanPoints(shown.map(({ points }) => points)),
    };
  });
}

/**
 * The leaf balance of a trial: the account of every plant, leaves per plant of every plot and the
 * mean of the plots of every treatment. Parts that were not recorded are absent; what can't be is
 * reported among the problems. A plot's series ends with its last scored round; totals of a plot
 * that did not reach the last round of the trial are absent, and it takes no part in the
 * treatment's means where another plot reached it.
 */
export function leafBalance(source: Trial | Tally): LeafBalance {
  const tally = tallyOf(source);
  const { accounts, problems } = leafAccounts(tally);
  const plots = plotBalances(tally, accounts);
  const netOf = [
    ...(tally.recorded.stripping ? [] : (['stripping'] as const)),
    ...(tally.recorded.losses ? [] : (['losses'] as const)),
  ];
  return {
    accounts,
    plots,
    treatments: treatmentBalances(tally.trial, plots),
    netOf,
    problems: [
      ...tally.problems,
      ...problems,
      ...(accounts.length > 0 ? netNotes(netOf) : []),
      ...gapNotes(accounts),
    ],
  };
}
