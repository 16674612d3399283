import type { Problem } from '@fairbed/field';
import { type Measure, type MeasureId, measures } from './measures';
import type { Tally } from './tally';
import { type Timeline } from './timeline';

/** One plot's scored rounds of a measure, in time order. */
export type PlotCourse = {
  readonly plot: string;
  /** Places in the timeline. */
  readonly rounds: readonly number[];
  readonly days: readonly number[];
  readonly values: readonly number[];
  /** The same just after stripping. */
  readonly after: readonly number[];
};

/** A measure of every plot over the rounds that count for all of them. */
export type Course = {
  readonly measure: Measure;
  /** Places in the timeline of the rounds in which at least half of the plots were scored. */
  readonly rounds: readonly number[];
  readonly plots: readonly PlotCourse[];
  readonly notes: readonly Problem[];
};

/** How a round is called in a sentence: its date, else its name, else its number. */
export function roundName({ rounds }: Timeline, r: number): string {
  const round = rounds[r];
  return round?.day ?? round?.name ?? `round ${r + 1}`;
}

/**
 * Rounds that count: those in which at least half of the plots one would expect were scored. A
 * lost plot is expected only where it was scored, one without any score nowhere. A round that rain
 * broke off after a few plots would otherwise leave most plots without a last value.
 */
function commonRounds(tally: Tally, cells: Float64Array): { kept: number[]; notes: Problem[] } {
  const width = tally.timeline.rounds.length;
  const scored = new Int32Array(width);
  const expected = new Int32Array(width);
  tally.trial.plots.forEach((plot, p) => {
    const row = cells.subarray(p * width, (p + 1) * width);
    if (row.every((n) => Number.isNaN(n))) return;
    row.forEach((n, r) => {
      const here = Number.isNaN(n) ? 0 : 1;
      scored[r] = (scored[r] ?? 0) + here;
      expected[r] = (expected[r] ?? 0) + (plot.lost === undefined ? 1 : here);
    });
  });
  const kept: number[] = [];
  const notes: Problem[] = [];
  for (let r = 0; r < width; r++) {
    const n = scored[r] ?? 0;
    const of = expected[r] ?? 0;
    if (n > 0 && 2 * n >= of) kept.push(r);
    else if (n > 0) {
      notes.push({
        kind: 'note',
        code: 'round-left-out',
        what: `${roundName(tally.timeline, r)}: only ${n} of ${of} plots were scored, so this round is left out for all.`,
        do: 'Score every plot in a round, or add the missing entries.',
      });
    }
  }
  return { kept, notes };
}

/** A function of a tally and a measure, worked out once for each: a tally never changes. */
function once<T>(make: (tally: Tally, id: MeasureId) => T): (tally: Tally, id: MeasureId) => T {
  const made = new WeakMap<Tally, Map<MeasureId, T>>();
  return (tally, id) => {
    const known = made.get(tally) ?? new Map<MeasureId, T>();
    made.set(tally, known);
    let value = known.get(id);
    if (value === undefined) known.set(id, (value = make(tally, id)));
    return value;
  };
}

/** Plots x rounds of a measure; NaN where a plot was not scored. */
const cellsOf = once((tally, id) => measures[id].cells(tally));

/** The rounds that count for a measure and each plot's values at them. */
export const courseOf = once(makeCourse);

function makeCourse(tally: Tally, id: MeasureId): Course {
  const measure = measures[id];
  const { plots, timeline } = tally;
  const width = timeline.rounds.length;
  if (!measure.recorded(tally)) return { measure, rounds: [], plots: [], notes: [] };
  const cells = cellsOf(tally, id);
  const after = measure.after?.(tally) ?? cells;
  const { kept, notes } = commonRounds(tally, cells);
  const courses = plots.map((plot, p): PlotCourse => {
    const rounds = kept.filter((r) => !Number.isNaN(cells[p * width + r]));
    const pick = (from: Float64Array): number[] => rounds.map((r) => from[p * width + r] ?? 0);
    return {
      plot,
      rounds,
      days: rounds.map((r) => timeline.days[r] ?? 0),
      values: pick(cells),
      after: pick(after),
    };
  });
  return { measure, rounds: kept, plots: courses, notes };
}

/** The value at a day between two scored rounds, on the straight line that joins them. */
function bridge(course: PlotCourse, day: number): number {
  const { days, values } = course;
  const next = days.findIndex((d) => d >= day);
  const d1 = days[next] ?? 0;
  const y1 = values[next] ?? 0;
  if (d1 === day) return y1;
  const d0 = days[next - 1] ?? 0;
  const y0 = values[next - 1] ?? 0;
  return y0 + ((y1 - y0) * (day - d0)) / (d1 - d0);
}

/**
 * A plot's values at every day of the rounds that count, missing inner ones bridged by the
 * straight line. The plot must have been scored at the first and the last of them.
 */
export function filled(course: PlotCourse, days: readonly number[]): number[] {
  return days.map((day) => bridge(course, day));
}

/** Disease (or another measure) of each plot round by round, for the progress chart. */
export type PlotSeries = {
  readonly measure: MeasureId;
  readonly title: string;
  readonly unit: string;
  readonly plots: ReadonlyMap<
    string,
    readonly { readonly day: number; readonly date?: string; readonly value: number }[]
  >;
};

/** Every scored value of a measure, nothing bridged; rounds scored on few plots included. */
export function plotSeries(tally: Tally, id: MeasureId): PlotSeries {
  const measure = measures[id];
  const { timeline, plots } = tally;
  const width = timeline.rounds.length;
  const cells = measure.recorded(tally) ? cellsOf(tally, id) : undefined;
  const pointsOf = (p: number) =>
    timeline.rounds.flatMap(({ day: date }, r) => {
      const value = cells?.[p * width + r] ?? NaN;
      if (Number.isNaN(value)) return [];
      return [{ day: timeline.days[r] ?? 0, ...(date === undefined ? {} : { date }), value }];
    });
  return {
    measure: id,
    title: measure.title(tally),
    unit: measure.unit(tally),
    plots: new Map(plots.map((plot, p) => [plot, pointsOf(p)])),
  };
}
