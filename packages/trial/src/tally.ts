import type { Problem } from '@fairbed/field';
import { createRemarks, type Remarks } from './remarks';
import type { Score, Trial } from './schema';
import { type Timeline, timelineOf } from './timeline';

/**
 * The scores of a trial added up by plant and round, in columns. A missing number is NaN in these
 * columns and nowhere else: every function that gives numbers out turns it into `undefined`.
 * Entries are sorted by plant (in order of first appearance), then by round.
 */
export type Tally = {
  readonly trial: Trial;
  readonly timeline: Timeline;
  readonly plots: readonly string[];
  /** Of each plant, the place of its plot in `plots`, and its id (undefined: the plot in whole). */
  readonly plantPlot: Int32Array;
  readonly plantIds: readonly (string | undefined)[];
  /** Plants an entry stands for: 1, or those listed for the plot where it was scored in whole. */
  readonly plantUnits: Float64Array;
  readonly entries: Entries;
  /** Whether anything of the kind was written down at all. */
  readonly recorded: { readonly stripping: boolean; readonly losses: boolean };
  readonly problems: readonly Problem[];
};

export type Entries = {
  readonly count: number;
  readonly plant: Int32Array;
  readonly round: Int32Array;
  readonly standing: Float64Array;
  readonly diseased: Float64Array;
  readonly stripped: Float64Array;
  /** Of the stripped, those with the disease. */
  readonly strippedDiseased: Float64Array;
  readonly lost: Float64Array;
  readonly severity: Float64Array;
  readonly grade: Float64Array;
  readonly value: Float64Array;
  readonly baseline: Float64Array;
  /** Scores behind entry i: trial.scores[rows[j]] for j from firstRow[i] to firstRow[i + 1]. */
  readonly rows: Int32Array;
  readonly firstRow: Int32Array;
};

const mostCells = 10_000_000;

/** Which plant and round each score belongs to; plant -1 where it is set aside. */
type Codes = {
  readonly plant: Int32Array;
  readonly round: Int32Array;
  readonly plantPlot: Int32Array;
  readonly plantIds: readonly (string | undefined)[];
};

function guardsOf(trial: Trial): ReadonlyMap<string, ReadonlySet<string>> {
  const guards = new Map<string, Set<string>>();
  for (const { plot, id, guard } of trial.plants) {
    if (guard !== true) continue;
    const set = guards.get(plot) ?? new Set();
    guards.set(plot, set.add(id));
  }
  return guards;
}

/** Of each plot, the place in the timeline of the first round after it was lost. */
function endsOf(trial: Trial, timeline: Timeline): Int32Array {
  const ends = new Int32Array(trial.plots.length).fill(timeline.rounds.length);
  trial.plots.forEach(({ lost }, p) => {
    const lostDay = lost?.day;
    if (lostDay === undefined) return;
    const end = timeline.rounds.findIndex(({ day }) => day !== undefined && day > lostDay);
    if (end >= 0) ends[p] = end;
  });
  return ends;
}

/** `Plot 103, plant 2, 2026-06-15`: where a sentence about one score begins. */
export function placeOfScore(trial: Trial, score: Score): string {
  const round = trial.rounds.find(({ id }) => id === score.round);
  const when = round?.day ?? round?.name ?? `round ${score.round}`;
  return `Plot ${score.plot}${score.plant === undefined ? '' : `, plant ${score.plant}`}, ${when}`;
}

type Counts = Pick<Score, 'standing' | 'diseased' | 'stripped' | 'strippedDiseased'>;

/** Why a score can't be: more diseased or stripped than there were. Undefined where it can. */
export function impossible(score: Counts): string | undefined {
  const { standing, diseased, stripped, strippedDiseased } = score;
  if (standing !== undefined && diseased !== undefined && diseased > standing) {
    return `${diseased} diseased leaves of ${standing} standing`;
  }
  if (standing !== undefined && stripped !== undefined && stripped > standing) {
    return `${stripped} leaves stripped of ${standing} standing`;
  }
  if (strippedDiseased !== undefined && strippedDiseased > (stripped ?? 0)) {
    return `${strippedDiseased} diseased leaves stripped, but ${stripped ?? 0} stripped in all`;
  }
  if (strippedDiseased !== undefined && diseased !== undefined && strippedDiseased > diseased) {
    return `${strippedDiseased} diseased leaves stripped, but ${diseased} were diseased`;
  }
  return undefined;
}

/** Healthy leaves among the stripped, where an entry does not say so. Undefined where none are. */
export function healthyStripped(score: Counts): string | undefined {
  const { stripped, diseased, strippedDiseased } = score;
  if (stripped === undefined || diseased === undefined || strippedDiseased !== undefined) {
    return undefined;
  }
  return stripped > diseased
    ? `${stripped} leaves stripped, but only ${diseased} were diseased. The other ${stripped - diseased} count as healthy leaves stripped`
    : undefined;
}

function isUsable(trial: Trial, score: Score, remarks: Remarks): boolean {
  const why = impossible(score);
  if (why !== undefined) {
    remarks.add({
      kind: 'fault',
      code: 'impossible-count',
      what: `${placeOfScore(trial, score)}: ${why}. This entry is set aside.`,
      do: 'Count again, or correct one of the two numbers.',
    });
    return false;
  }
  const healthy = healthyStripped(score);
  if (healthy !== undefined) {
    remarks.add({
      kind: 'question',
      code: 'healthy-leaves-stripped',
      what: `${placeOfScore(trial, score)}: ${healthy}.`,
      do: 'Correct the count, or say how many of the stripped leaves were diseased.',
    });
  }
  return true;
}

function codeScores(trial: Trial, timeline: Timeline, remarks: Remarks): Codes {
  const { scores } = trial;
  const plotCode = new Map(trial.plots.map(({ id }, i) => [id, i]));
  const roundCode = new Map(timeline.rounds.map(({ id }, i) => [id, i]));
  const plantsOf = trial.plots.map(() => new Map<string | undefined, number>());
  const plantPlot: number[] = [];
  const plantIds: (string | undefined)[] = [];
  const guards = guardsOf(trial);
  const ends = endsOf(trial, timeline);
  const target = trial.diseases[0]?.id;
  const plant = new Int32Array(scores.length).fill(-1);
  const round = new Int32Array(scores.length);
  // Rows of one plot or one round usually stand together: look up only where they change.
  let plotId: string | undefined;
  let roundId: string | undefined;
  let p: number | undefined;
  let r: number | undefined;
  for (let i = 0; i < scores.length; i++) {
    const score = scores[i] as Score;
    if (score.plot !== plotId) {
      plotId = score.plot;
      p = plotCode.get(plotId);
    }
    if (score.round !== roundId) {
      roundId = score.round;
      r = roundCode.get(roundId);
    }
    if (p === undefined || r === undefined) continue;
    if (score.disease !== undefined && score.disease !== target) continue;
    if (score.plant !== undefined && guards.get(score.plot)?.has(score.plant) === true) continue;
    if (r >= (ends[p] ?? 0)) {
      remarks.add({
        kind: 'question',
        code: 'scored-after-lost',
        what: `${placeOfScore(trial, score)}: scored after the plot was lost. This entry is set aside.`,
        do: 'Correct the day the plot was lost, or the round.',
      });
      continue;
    }
    if (!isUsable(trial, score, remarks)) continue;
    const plants = plantsOf[p] as Map<string | undefined, number>;
    let code = plants.get(score.plant);
    if (code === undefined) {
      code = plantPlot.length;
      plants.set(score.plant, code);
      plantPlot.push(p);
      plantIds.push(score.plant);
    }
    plant[i] = code;
    round[i] = r;
  }
  return { plant, round, plantPlot: Int32Array.from(plantPlot), plantIds };
}

/** Places of the scores in the order of their key (0 to keys - 1), stable; key -1 is left out. */
function countingSort(order: Int32Array, key: Int32Array, keys: number): Int32Array {
  const starts = new Int32Array(keys + 1);
  for (const i of order) {
    const k = key[i] ?? -1;
    if (k >= 0) starts[k + 1] = (starts[k + 1] ?? 0) + 1;
  }
  for (let k = 0; k < keys; k++) starts[k + 1] = (starts[k + 1] ?? 0) + (starts[k] ?? 0);
  const sorted = new Int32Array(starts[keys] ?? 0);
  for (const i of order) {
    const k = key[i] ?? -1;
    if (k < 0) continue;
    const at = starts[k] ?? 0;
    sorted[at] = i;
    starts[k] = at + 1;
  }
  return sorted;
}

function firstRowsOf(rows: Int32Array, codes: Codes): Int32Array {
  const first = new Int32Array(rows.length + 1);
  let n = 0;
  for (let j = 0; j < rows.length; j++) {
    const i = rows[j] as number;
    const before = rows[j - 1];
    if (
      before === undefined ||
      codes.plant[before] !== codes.plant[i] ||
      codes.round[before] !== codes.round[i]
    ) {
      first[n++] = j;
    }
  }
  first[n] = rows.length;
  return first.slice(0, n + 1);
}

/** Stripped leaves are diseased ones as far as `diseased` allows, unless the entry says how many. */
const strippedDiseasedOf = (score: Score): number | undefined =>
  score.strippedDiseased ??
  (score.stripped === undefined
    ? undefined
    : Math.min(score.stripped, score.diseased ?? score.stripped));

/** Leaves lost for all causes together. */
export const lostOf = (score: Pick<Score, 'lost'>): number | undefined => {
  if (score.lost === undefined) return undefined;
  let sum = 0;
  for (const { leaves } of score.lost) sum += leaves;
  return sum;
};

const countFields = ['standing', 'diseased', 'stripped', 'strippedDiseased', 'lost'] as const;
const meanFields = ['severity', 'grade', 'value', 'baseline'] as const;
type Column = (typeof countFields)[number] | (typeof meanFields)[number];
type Columns = Record<Column, Float64Array>;

const columnOf = <T>(make: () => T): Record<Column, T> => ({
  standing: make(),
  diseased: make(),
  stripped: make(),
  strippedDiseased: make(),
  lost: make(),
  severity: make(),
  grade: make(),
  value: make(),
  baseline: make(),
});

type Written = { readonly columns: Columns; readonly any: Record<Column, boolean> };

/**
 * The numbers of the scores in columns, and which columns hold any, in one walk with every field
 * read by its own name.
 */
function columnsOf(scores: Trial['scores']): Written {
  const columns = columnOf(() => new Float64Array(scores.length).fill(NaN));
  const any = columnOf(() => false);
  const set = (field: Column, i: number, n: number | undefined): void => {
    if (n === undefined) return;
    columns[field][i] = n;
    any[field] = true;
  };
  for (let i = 0; i < scores.length; i++) {
    const score = scores[i] as Score;
    set('standing', i, score.standing);
    set('diseased', i, score.diseased);
    set('stripped', i, score.stripped);
    set('strippedDiseased', i, strippedDiseasedOf(score));
    set('lost', i, lostOf(score));
    set('severity', i, score.severity);
    set('grade', i, score.grade);
    set('value', i, score.value);
    set('baseline', i, score.baseline);
  }
  return { columns, any };
}

/** One column by entry: leaves are added up over the rows of an entry, other numbers averaged. */
function gather(
  column: Float64Array,
  rows: Int32Array,
  firstRow: Int32Array,
  mean: boolean,
): Float64Array {
  const out = new Float64Array(firstRow.length - 1);
  if (out.length === rows.length) {
    // One row an entry, as most sheets have it.
    for (let e = 0; e < out.length; e++) out[e] = column[rows[e] as number] as number;
    return out;
  }
  for (let e = 0; e < out.length; e++) {
    let sum = 0;
    let n = 0;
    for (let j = firstRow[e] ?? 0; j < (firstRow[e + 1] ?? 0); j++) {
      const value = column[rows[j] ?? 0] ?? NaN;
      if (Number.isNaN(value)) continue;
      sum += value;
      n++;
    }
    out[e] = n === 0 ? NaN : mean ? sum / n : sum;
  }
  return out;
}

function unitsOf(trial: Trial, codes: Codes): Float64Array {
  const listed = new Map<string, number>();
  for (const { plot, guard } of trial.plants) {
    if (guard !== true) listed.set(plot, (listed.get(plot) ?? 0) + 1);
  }
  return Float64Array.from(codes.plantIds, (id, i) =>
    id === undefined ? (listed.get(trial.plots[codes.plantPlot[i] ?? 0]?.id ?? '') ?? 1) : 1,
  );
}

/**
 * Adds up the scores of the target disease by plant and round, guard plants left out. Rows that
 * can't be are set aside and reported; rows of other diseases are not read here. One pass codes
 * plants and rounds as integers, a counting sort brings a plant's rounds together, and each column
 * is filled in turn, so that a hundred thousand rows take milliseconds. Throws where plots times
 * rounds exceed ten million.
 */
export function tabulate(trial: Trial): Tally {
  const timeline = timelineOf(trial);
  const { scores, plots } = trial;
  if (plots.length * timeline.rounds.length > mostCells) {
    throw new RangeError(
      `${plots.length} plots x ${timeline.rounds.length} rounds: more than ${mostCells} cells. Check which column names the plot and which the date.`,
    );
  }
  const remarks = createRemarks();
  const codes = codeScores(trial, timeline, remarks);
  const everyRow = new Int32Array(scores.length).map((_, i) => i);
  const byRound = countingSort(everyRow, codes.round, timeline.rounds.length);
  const rows = countingSort(byRound, codes.plant, codes.plantIds.length);
  const firstRow = firstRowsOf(rows, codes);
  const count = firstRow.length - 1;
  const at = (code: Int32Array): Int32Array => {
    const out = new Int32Array(count);
    for (let e = 0; e < count; e++) out[e] = code[rows[firstRow[e] ?? 0] ?? 0] ?? 0;
    return out;
  };
  const { columns, any } = columnsOf(scores);
  const inOrder = (field: Column, mean: boolean): void => {
    columns[field] = any[field]
      ? gather(columns[field], rows, firstRow, mean)
      : columns[field].subarray(0, count);
  };
  for (const field of countFields) inOrder(field, false);
  for (const field of meanFields) inOrder(field, true);
  const entries: Entries = {
    ...columns,
    count,
    plant: at(codes.plant),
    round: at(codes.round),
    rows,
    firstRow,
  };
  return {
    trial,
    timeline,
    plots: plots.map(({ id }) => id),
    plantPlot: codes.plantPlot,
    plantIds: codes.plantIds,
    plantUnits: unitsOf(trial, codes),
    entries,
    recorded: {
      stripping: any.stripped && entries.stripped.some((n) => !Number.isNaN(n)),
      losses: any.lost && entries.lost.some((n) => !Number.isNaN(n)),
    },
    problems: [...timeline.notes, ...remarks.list()],
  };
}
