import { areaWithDrops, audps, onset } from './area';
import { type Course, filled, type PlotCourse } from './course';
import type { Tally } from './tally';

export type SummaryId = 'last' | 'first' | 'mean' | 'area' | 'stairs' | 'standardised' | 'onset';

/** One way of summing up a plot's rounds in one number. */
export type Summary = {
  /** Words around the title of the measure. */
  readonly title: (measure: string) => string;
  readonly unit: (measure: string, tally: Tally) => string;
  /** Rounds that must count for all plots. */
  readonly rounds: number;
  /** The rounds a plot must have been scored at. */
  readonly needs: 'last' | 'first' | 'both';
  /** `days`: of the rounds that count. Undefined where there is none (never diseased). */
  readonly sumUp: (plot: PlotCourse, days: readonly number[]) => number | undefined;
};

const days = ({ timeline }: Tally): string => (timeline.clock === 'order' ? 'rounds' : 'days');
const areaUnit = (unit: string, tally: Tally): string =>
  unit.endsWith(' per plant') || unit.endsWith(' per plot')
    ? unit.replace(/^leaves/, `leaf-${days(tally)}`)
    : `${unit === '' ? 'value' : unit}-${days(tally)}`;
const sameUnit = (unit: string): string => unit;

const area = (plot: PlotCourse): number | undefined =>
  areaWithDrops(plot.days, plot.values, plot.after);

function meanOf(plot: PlotCourse, at: readonly number[]): number | undefined {
  const values = filled(plot, at);
  return values.length === 0 ? undefined : values.reduce((a, b) => a + b, 0) / values.length;
}

export const summaries: Readonly<Record<SummaryId, Summary>> = {
  last: {
    title: (measure) => `${measure}, last round`,
    unit: sameUnit,
    rounds: 1,
    needs: 'last',
    sumUp: ({ values }) => values.at(-1),
  },
  first: {
    title: (measure) => `${measure}, first round`,
    unit: sameUnit,
    rounds: 1,
    needs: 'first',
    sumUp: ({ values }) => values[0],
  },
  mean: {
    title: (measure) => `${measure}, mean of the rounds`,
    unit: sameUnit,
    rounds: 1,
    needs: 'both',
    sumUp: meanOf,
  },
  area: {
    title: (measure) => `${measure}, area under the curve`,
    unit: areaUnit,
    rounds: 2,
    needs: 'both',
    sumUp: area,
  },
  stairs: {
    title: (measure) => `${measure}, area under the stairs`,
    unit: areaUnit,
    rounds: 2,
    needs: 'both',
    sumUp: (plot, at) => audps(at, filled(plot, at)),
  },
  standardised: {
    title: (measure) => `${measure}, mean height of the curve`,
    unit: sameUnit,
    rounds: 2,
    needs: 'both',
    sumUp: (plot, at) => {
      const whole = area(plot);
      return whole === undefined ? undefined : whole / ((at.at(-1) ?? 0) - (at[0] ?? 0));
    },
  },
  onset: {
    title: (measure) => `${measure}, days to the first`,
    unit: (_unit, tally) => days(tally),
    rounds: 2,
    needs: 'first',
    sumUp: (plot, at) => {
      const first = onset(plot.days, plot.values);
      return first === undefined ? undefined : first - (at[0] ?? 0);
    },
  },
};

/** Why a plot has no value although the measure was recorded; undefined where it has all it needs. */
export function missingRound(
  summary: Summary,
  course: Course,
  plot: PlotCourse,
): 'never' | 'first' | 'last' | undefined {
  if (plot.rounds.length === 0) return 'never';
  if (summary.needs !== 'last' && plot.rounds[0] !== course.rounds[0]) return 'first';
  if (summary.needs !== 'first' && plot.rounds.at(-1) !== course.rounds.at(-1)) return 'last';
  return undefined;
}
