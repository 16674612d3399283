import { percentPerStep } from './grade-index';
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
  readonly title: (tally: Tally) => string;
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

type Term = (entries: Entries, e: number) => number;

/** Sum of one term over sum of another, entry by entry, for each plot and round. */
function ratio(tally: Tally, top: Term, bottom: Term): Float64Array {
  const { entries, timeline, plots, plantPlot } = tally;
  const width = timeline.rounds.length;
  const over = new Float64Array(plots.length * width);
  const under = new Float64Array(plots.length * width);
  for (let e = 0; e < entries.count; e++) {
    const upper = top(entries, e);
    const lower = bottom(entries, e);
    if (Number.isNaN(upper) || Number.isNaN(lower)) continue;
    const cell = (plantPlot[entries.plant[e] ?? 0] ?? 0) * width + (entries.round[e] ?? 0);
    over[cell] = (over[cell] ?? 0) + upper;
    under[cell] = (under[cell] ?? 0) + lower;
  }
  // Nothing scored, or no leaf standing: no share can be given.
  for (let c = 0; c < over.length; c++)
    over[c] = under[c] === 0 ? NaN : (over[c] ?? 0) / (under[c] ?? 1);
  return over;
}

const one: Term = () => 1;
const at = (column: Float64Array, e: number): number => column[e] ?? NaN;
const orNone = (n: number): number => (Number.isNaN(n) ? 0 : n);

/** Plants behind an entry, so that a plot scored in whole is brought to leaves per plant. */
const units = (tally: Tally): Term => {
  return (entries, e) => tally.plantUnits[entries.plant[e] ?? 0] ?? 1;
};

/** Of each entry, the total of a column over the earlier rounds of the same plant; blanks are 0. */
function before(entries: Entries, column: Float64Array): Float64Array {
  const out = new Float64Array(entries.count);
  for (let e = 1; e < entries.count; e++) {
    if (entries.plant[e] === entries.plant[e - 1]) {
      out[e] = (out[e - 1] ?? 0) + orNone(at(column, e - 1));
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
  cells: (tally) =>
    ratio(
      tally,
      (x, e) => (Number.isNaN(at(x.standing, e)) ? NaN : 100 * at(x.diseased, e)),
      (x, e) => (Number.isNaN(at(x.diseased, e)) ? NaN : at(x.standing, e)),
    ),
};

const incidenceCumulative: Measure = {
  ...incidence,
  title: () => 'Diseased leaves, stripped ones included',
  recorded: (tally) => counted(tally) && tally.recorded.stripping,
  cells: (tally) => {
    const sick = before(tally.entries, tally.entries.strippedDiseased);
    const all = before(tally.entries, tally.entries.stripped);
    return ratio(
      tally,
      (x, e) => 100 * (at(x.diseased, e) + at(sick, e)),
      (x, e) => at(x.standing, e) + at(all, e),
    );
  },
};

const diseasedCumulative: Measure = {
  ...incidenceCumulative,
  title: () => 'Diseased leaves so far, stripped ones included',
  unit: (tally) => `leaves ${perPlant(tally)}`,
  cells: (tally) => {
    const sick = before(tally.entries, tally.entries.strippedDiseased);
    return ratio(tally, (x, e) => at(x.diseased, e) + at(sick, e), units(tally));
  },
};

const strippedTotal: Measure = {
  title: () => 'Leaves stripped so far',
  unit: (tally) => `leaves ${perPlant(tally)}`,
  better: lower,
  recorded: (tally) => tally.recorded.stripping,
  cells: (tally) => {
    const earlier = before(tally.entries, tally.entries.stripped);
    return ratio(tally, (x, e) => at(earlier, e) + orNone(at(x.stripped, e)), units(tally));
  },
};

const healthyLeaves: Measure = {
  title: () => 'Healthy leaves standing',
  unit: (tally) => `leaves ${perPlant(tally)}`,
  better: () => 'higher',
  recorded: counted,
  cells: (tally) => ratio(tally, (x, e) => at(x.standing, e) - at(x.diseased, e), units(tally)),
  // Stripping takes diseased leaves, which are not in this number; only healthy ones taken with
  // them make it drop.
  after: (tally) =>
    ratio(
      tally,
      (x, e) =>
        at(x.standing, e) -
        at(x.diseased, e) -
        (orNone(at(x.stripped, e)) - orNone(at(x.strippedDiseased, e))),
      units(tally),
    ),
};

const severity: Measure = {
  title: () => 'Leaf area diseased',
  unit: () => '%',
  better: lower,
  recorded: ({ entries }) => some(entries.severity),
  cells: (tally) => ratio(tally, (x, e) => at(x.severity, e), one),
};

/** Steps away from the healthy class, so that no disease is 0 whichever end is healthy. */
const steps =
  (tally: Tally): Term =>
  (x, e) =>
    Math.abs(at(x.grade, e) - (tally.trial.gradeScale?.healthy ?? NaN));

const grade: Measure = {
  title: () => 'Disease grade, in steps from healthy',
  unit: () => 'grade',
  better: lower,
  recorded: ({ entries, trial }) => trial.gradeScale !== undefined && some(entries.grade),
  cells: (tally) => ratio(tally, steps(tally), one),
};

const gradeIndexMeasure: Measure = {
  ...grade,
  title: () => 'Disease index of the grades',
  unit: () => '%',
  cells: (tally) => {
    const scale = tally.trial.gradeScale;
    const percent = scale === undefined ? NaN : (percentPerStep(scale) ?? NaN);
    const step = steps(tally);
    return ratio(tally, (x, e) => step(x, e) * percent, one);
  },
};

const value: Measure = {
  title: ({ trial }) => trial.valueMeasure?.name ?? 'Value',
  unit: ({ trial }) => trial.valueMeasure?.unit ?? '',
  better: ({ trial }) => trial.valueMeasure?.better ?? 'lower',
  recorded: ({ entries }) => some(entries.value),
  cells: (tally) => ratio(tally, (x, e) => at(x.value, e), one),
};

const baseline: Measure = {
  ...value,
  title: ({ trial }) => `${trial.valueMeasure?.name ?? 'Value'} before treatment`,
  recorded: ({ entries }) => some(entries.baseline),
  cells: (tally) => ratio(tally, (x, e) => at(x.baseline, e), one),
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
