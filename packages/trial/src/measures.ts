import { percentPerStep } from './grade-index';
import type { Trial } from './schema';
import type { Entries, Tally } from './tally';

export type MeasureId =
  | 'incidence'
  | 'incidence-cumulative'
  | 'severity'
  | 'grade'
  | 'grade-index'
  | 'value'
  | 'baseline'
  | 'diseased-cumulative'
  | 'stripped-total'
  | 'healthy-leaves';

/**
 * One way of putting a number on a plot at a round. A new kind of measure fills this in; what
 * sums up the rounds, draws or judges reads it and needs no branch of its own.
 */
export type Measure = {
  readonly title: (of: { readonly trial: Pick<Trial, 'valueMeasure'> }) => string;
  readonly unit: (tally: Tally) => string;
  readonly better: (tally: Tally) => 'lower' | 'higher';
  /** Whether the trial wrote down what the measure needs. */
  readonly recorded: (tally: Tally) => boolean;
  /** Plots x rounds, row after row; NaN where the plot was not scored. */
  readonly cells: (tally: Tally) => Float64Array;
  /** The same just after stripping, where that changes it. */
  readonly after?: (tally: Tally) => Float64Array;
};

const some = (column: Float64Array): boolean => column.some((n) => !Number.isNaN(n));

/**
 * Sum of one column over sum of another (left out: the number of entries), entry by entry, for each
 * plot and round, and that `times` so many. An entry without either number does not count.
 */
function ratio(tally: Tally, top: Float64Array, bottom?: Float64Array, times = 1): Float64Array {
  const { entries, timeline, plots, plantPlot } = tally;
  const width = timeline.rounds.length;
  const over = new Float64Array(plots.length * width);
  const under = new Float64Array(plots.length * width);
  for (let e = 0; e < entries.count; e++) {
    const upper = top[e] as number;
    const lower = bottom === undefined ? 1 : (bottom[e] as number);
    if (Number.isNaN(upper) || Number.isNaN(lower)) continue;
    const cell = (plantPlot[entries.plant[e] ?? 0] ?? 0) * width + (entries.round[e] ?? 0);
    over[cell] = (over[cell] ?? 0) + upper;
    under[cell] = (under[cell] ?? 0) + lower;
  }
  // Nothing scored, or no leaf standing: no share can be given.
  for (let c = 0; c < over.length; c++)
    over[c] = under[c] === 0 ? NaN : (times * (over[c] ?? 0)) / (under[c] ?? 1);
  return over;
}

const orNone = (n: number): number => (Number.isNaN(n) ? 0 : n);

const plus = (a: Float64Array, b: Float64Array): Float64Array => {
  const out = new Float64Array(a.length);
  for (let e = 0; e < out.length; e++) out[e] = (a[e] as number) + (b[e] as number);
  return out;
};

const minus = (a: Float64Array, b: Float64Array): Float64Array => {
  const out = new Float64Array(a.length);
  for (let e = 0; e < out.length; e++) out[e] = (a[e] as number) - (b[e] as number);
  return out;
};

/** A column with 0 for what was not written. */
const blanksAsNone = (column: Float64Array): Float64Array => column.map(orNone);

/** Plants behind each entry, so that a plot scored in whole is brought to leaves per plant. */
function units({ entries, plantUnits }: Tally): Float64Array {
  const out = new Float64Array(entries.count);
  for (let e = 0; e < out.length; e++) out[e] = plantUnits[entries.plant[e] as number] ?? 1;
  return out;
}

/** Of each entry, the total of a column over the earlier rounds of the same plant; blanks are 0. */
function before(entries: Entries, column: Float64Array): Float64Array {
  const out = new Float64Array(entries.count);
  for (let e = 1; e < entries.count; e++) {
    if (entries.plant[e] === entries.plant[e - 1]) {
      out[e] = (out[e - 1] as number) + orNone(column[e - 1] as number);
    }
  }
  return out;
}

const perPlant = (tally: Tally): string =>
  tally.plantIds.some((id, i) => id === undefined && tally.plantUnits[i] === 1)
    ? 'per plot'
    : 'per plant';

const counted = ({ entries }: Tally): boolean => some(entries.standing) && some(entries.diseased);
const lower = (): 'lower' => 'lower';

const incidence: Measure = {
  title: () => 'Diseased leaves',
  unit: () => '%',
  better: lower,
  recorded: counted,
  cells: (tally) => ratio(tally, tally.entries.diseased, tally.entries.standing, 100),
};

const incidenceCumulative: Measure = {
  ...incidence,
  title: () => 'Diseased leaves, stripped ones included',
  recorded: (tally) => counted(tally) && tally.recorded.stripping,
  cells: (tally) => {
    const { entries } = tally;
    const sick = plus(entries.diseased, before(entries, entries.strippedDiseased));
    return ratio(tally, sick, plus(entries.standing, before(entries, entries.stripped)), 100);
  },
};

const diseasedCumulative: Measure = {
  ...incidenceCumulative,
  title: () => 'Diseased leaves so far, stripped ones included',
  unit: (tally) => `leaves ${perPlant(tally)}`,
  cells: (tally) => {
    const { entries } = tally;
    const sick = plus(entries.diseased, before(entries, entries.strippedDiseased));
    return ratio(tally, sick, units(tally));
  },
};

const strippedTotal: Measure = {
  title: () => 'Leaves stripped so far',
  unit: (tally) => `leaves ${perPlant(tally)}`,
  better: lower,
  recorded: (tally) => tally.recorded.stripping,
  cells: (tally) => {
    const { entries } = tally;
    const soFar = plus(before(entries, entries.stripped), blanksAsNone(entries.stripped));
    return ratio(tally, soFar, units(tally));
  },
};

const healthy = ({ entries }: Tally): Float64Array => minus(entries.standing, entries.diseased);

const healthyLeaves: Measure = {
  title: () => 'Healthy leaves standing',
  unit: (tally) => `leaves ${perPlant(tally)}`,
  better: () => 'higher',
  recorded: counted,
  cells: (tally) => ratio(tally, healthy(tally), units(tally)),
  // Stripping takes diseased leaves, which are not in this number; only healthy ones taken with
  // them make it drop.
  after: (tally) => {
    const { stripped, strippedDiseased } = tally.entries;
    const taken = minus(blanksAsNone(stripped), blanksAsNone(strippedDiseased));
    return ratio(tally, minus(healthy(tally), taken), units(tally));
  },
};

const severity: Measure = {
  title: () => 'Leaf area diseased',
  unit: () => '%',
  better: lower,
  recorded: ({ entries }) => some(entries.severity),
  cells: (tally) => ratio(tally, tally.entries.severity),
};

/** Steps away from the healthy class, so that no disease is 0 whichever end is healthy. */
const steps = ({ entries, trial }: Tally, times: number): Float64Array => {
  const healthyClass = trial.gradeScale?.healthy ?? NaN;
  return entries.grade.map((n) => Math.abs(n - healthyClass) * times);
};

const grade: Measure = {
  title: () => 'Disease grade, in steps from healthy',
  unit: () => 'grade',
  better: lower,
  recorded: ({ entries, trial }) => trial.gradeScale !== undefined && some(entries.grade),
  cells: (tally) => ratio(tally, steps(tally, 1)),
};

const gradeIndexMeasure: Measure = {
  ...grade,
  title: () => 'Disease index of the grades',
  unit: () => '%',
  cells: (tally) => {
    const scale = tally.trial.gradeScale;
    return ratio(tally, steps(tally, scale === undefined ? NaN : (percentPerStep(scale) ?? NaN)));
  },
};

const value: Measure = {
  title: ({ trial }) => trial.valueMeasure?.name ?? 'Value',
  unit: ({ trial }) => trial.valueMeasure?.unit ?? '',
  better: ({ trial }) => trial.valueMeasure?.better ?? 'lower',
  recorded: ({ entries }) => some(entries.value),
  cells: (tally) => ratio(tally, tally.entries.value),
};

const baseline: Measure = {
  ...value,
  title: ({ trial }) => `${trial.valueMeasure?.name ?? 'Value'} before treatment`,
  recorded: ({ entries }) => some(entries.baseline),
  cells: (tally) => ratio(tally, tally.entries.baseline),
};

/** Every measure by its id. */
export const measures: Readonly<Record<MeasureId, Measure>> = {
  incidence,
  'incidence-cumulative': incidenceCumulative,
  severity,
  grade,
  'grade-index': gradeIndexMeasure,
  value,
  baseline,
  'diseased-cumulative': diseasedCumulative,
  'stripped-total': strippedTotal,
  'healthy-leaves': healthyLeaves,
};
