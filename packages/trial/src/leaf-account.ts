import { createRemarks } from './remarks';
import type { LossCause, Score } from './schema';
import { roundName } from './course';
import type { Tally } from './tally';
import type { Problem } from '@fairbed/field';

/** Leaves lost since the round before, by cause. */
export type Losses = Readonly<Partial<Record<LossCause, number>>>;

/**
 * One line of a plant's leaf account: what was counted at a round and what follows from it. What
 * was not recorded, or can't be known, is absent.
 */
export type LeafEntry = {
  /** Place of the round in the timeline, its id and its day after the first round. */
  readonly at: number;
  readonly round: string;
  readonly day: number;
  /** Counted before anything was stripped that day; absent on a visit that only stripped. */
  readonly standing?: number;
  readonly diseased?: number;
  readonly healthy?: number;
  /** Stripped after scoring. */
  readonly stripped?: number;
  readonly strippedDiseased?: number;
  readonly lost?: number;
  readonly losses?: Losses;
  /** standing - (standing before - stripped before) + lost; absent at the first line. */
  readonly newLeaves?: number;
  /** Days since the line before, where rounds between were missed. */
  readonly gapDays?: number;
  /** Diseased on the plant now and all diseased ones stripped at earlier rounds. */
  readonly cumulativeDiseased?: number;
};

/** The leaf account of a plant, or of a plot that was scored in whole (`plant` absent). */
export type LeafAccount = {
  readonly plot: string;
  readonly plant?: string;
  /** Plants it stands for. */
  readonly units: number;
  readonly entries: readonly LeafEntry[];
};

const known = (column: Float64Array, e: number): number | undefined => {
  const n = column[e];
  return n === undefined || Number.isNaN(n) ? undefined : n;
};

function lossesOf(tally: Tally, e: number): Losses {
  const { rows, firstRow } = tally.entries;
  const losses: Partial<Record<LossCause, number>> = {};
  for (let j = firstRow[e] ?? 0; j < (firstRow[e + 1] ?? 0); j++) {
    const score: Score | undefined = tally.trial.scores[rows[j] ?? -1];
    for (const { leaves, why } of score?.lost ?? []) losses[why] = (losses[why] ?? 0) + leaves;
  }
  return losses;
}

/** What a plant carries from one line of its account to the next. */
type Carried = {
  readonly at: number;
  readonly day: number;
  /** Leaves left after stripping at the line before; undefined where none was counted yet. */
  readonly left: number | undefined;
  readonly strippedDiseased: number;
};

/**
 * Leaves that opened since the line before: standing now = left then + new - lost. Negative where
 * leaves are gone without a word.
 */
export const newLeaves = (standing: number, left: number, lost: number | undefined): number =>
  standing - left + (lost ?? 0);

type Line = { readonly tally: Tally; readonly e: number; readonly carried: Carried | undefined };

/** In a trial that strips (or writes losses down), a blank means none. */
const orNone = (n: number | undefined, recorded: boolean): number | undefined =>
  n ?? (recorded ? 0 : undefined);

function lineOf({ tally, e, carried }: Line): LeafEntry {
  const { entries, timeline, recorded } = tally;
  const at = entries.round[e] ?? 0;
  const day = timeline.days[at] ?? 0;
  const standing = known(entries.standing, e);
  const diseased = known(entries.diseased, e);
  const stripped = orNone(known(entries.stripped, e), recorded.stripping);
  const strippedDiseased = orNone(known(entries.strippedDiseased, e), recorded.stripping);
  const lost = orNone(known(entries.lost, e), recorded.losses);
  const sick = carried?.strippedDiseased ?? 0;
  return {
    at,
    round: timeline.rounds[at]?.id ?? '',
    day,
    ...(standing === undefined ? {} : { standing }),
    ...(diseased === undefined ? {} : { diseased }),
    ...(standing === undefined || diseased === undefined ? {} : { healthy: standing - diseased }),
    ...(stripped === undefined ? {} : { stripped }),
    ...(strippedDiseased === undefined ? {} : { strippedDiseased }),
    ...(lost === undefined ? {} : { lost, losses: lossesOf(tally, e) }),
    ...(standing === undefined || carried?.left === undefined
      ? {}
      : { newLeaves: newLeaves(standing, carried.left, lost) }),
    ...(carried !== undefined && at > carried.at + 1 ? { gapDays: day - carried.day } : {}),
    ...(diseased === undefined || !recorded.stripping
      ? {}
      : { cumulativeDiseased: diseased + sick }),
  };
}

/** What is left on the plant after a line, whether its leaves were counted or only taken off. */
function carry(before: Carried | undefined, line: LeafEntry): Carried {
  const stripped = line.stripped ?? 0;
  const left =
    line.standing ?? (before?.left === undefined ? undefined : before.left - (line.lost ?? 0));
  return {
    at: line.at,
    day: line.day,
    left: left === undefined ? undefined : left - stripped,
    strippedDiseased: (before?.strippedDiseased ?? 0) + (line.strippedDiseased ?? 0),
  };
}

/** What is left on a plant after the lines of its account; undefined where none was counted. */
export const leftAfter = (lines: readonly LeafEntry[]): number | undefined =>
  lines.reduce<Carried | undefined>(carry, undefined)?.left;

/** Leaves gone without a word: questioned one by one where losses are written down, else in sum. */
function goneUnsaid(tally: Tally) {
  const remarks = createRemarks();
  let counts = 0;
  let most = 0;
  return {
    look: ({ plot, plant }: LeafAccount, { newLeaves, at }: LeafEntry): void => {
      if (newLeaves === undefined || newLeaves >= 0) return;
      const gone = -newLeaves;
      counts++;
      most = Math.max(most, gone);
      if (!tally.recorded.losses) return;
      const who = `Plot ${plot}${plant === undefined ? '' : `, plant ${plant}`}`;
      remarks.add({
        kind: 'question',
        code: 'negative-new-leaves',
        what: `${who}, ${roundName(tally.timeline, at)}: ${gone} ${gone === 1 ? 'leaf is' : 'leaves are'} gone since the round before, more than were stripped or lost.`,
        do: 'Count again, or write down what was stripped or lost and why.',
      });
    },
    list: (): readonly Problem[] =>
      counts === 0 || tally.recorded.losses
        ? remarks.list()
        : [
            {
              kind: 'note',
              code: 'leaves-gone-unsaid',
              what: `${counts} plant counts show fewer leaves than the round before (at most ${most} gone), and the trial does not write down what was lost.`,
              do: 'Write down lost leaves and why, or count again where that can’t be.',
            },
          ],
  };
}

/**
 * The leaf account of every plant with leaf counts: standing now = standing before + new -
 * stripped - lost. Lines follow the rounds the plant was scored in; nothing is made up for a round
 * that was missed. A negative number of new leaves is kept and questioned (in sum where losses are
 * not written down at all), never cut to zero.
 */
export function leafAccounts(tally: Tally): {
  readonly accounts: readonly LeafAccount[];
  readonly problems: readonly Problem[];
} {
  const { entries, plantIds, plantPlot, plantUnits, plots } = tally;
  const unsaid = goneUnsaid(tally);
  const accounts: LeafAccount[] = [];
  let e = 0;
  while (e < entries.count) {
    const code = entries.plant[e] ?? 0;
    const plant = plantIds[code];
    const lines: LeafEntry[] = [];
    const account: LeafAccount = {
      plot: plots[plantPlot[code] ?? 0] ?? '',
      ...(plant === undefined ? {} : { plant }),
      units: plantUnits[code] ?? 1,
      entries: lines,
    };
    let carried: Carried | undefined;
    for (; e < entries.count && entries.plant[e] === code; e++) {
      const line = lineOf({ tally, e, carried });
      unsaid.look(account, line);
      lines.push(line);
      carried = carry(carried, line);
    }
    if (lines.some(({ standing }) => standing !== undefined)) accounts.push(account);
  }
  return { accounts, problems: unsaid.list() };
}
