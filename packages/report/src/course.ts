import type { Judgement } from '@fairbed/verdict';

export type Progress = NonNullable<Judgement['progress']>;
export type PlotCourse = Progress['plots'][number];

type MeanPoint = { readonly day: number; readonly value: number; readonly plots: number };
export type MeanCourse = { readonly treatment: string; readonly points: readonly MeanPoint[] };

/**
 * Mean of a treatment's plots on every day on which any of them was scored, treatments in the order
 * of their first plot. A plot that was not scored on a day has no part in that day's mean: `plots`
 * counts those that had, and the chart marks where a plot ends.
 */
export function meanCourses(plots: readonly PlotCourse[]): readonly MeanCourse[] {
  const byTreatment = new Map<string, Map<number, number[]>>();
  for (const plot of plots) {
    const days = byTreatment.get(plot.treatment) ?? new Map<number, number[]>();
    byTreatment.set(plot.treatment, days);
    for (const { day, value } of plot.points) days.set(day, [...(days.get(day) ?? []), value]);
  }
  return [...byTreatment].map(([treatment, days]) => ({
    treatment,
    points: [...days]
      .sort(([a], [b]) => a - b)
      .map(([day, values]) => ({
        day,
        value: values.reduce((sum, value) => sum + value, 0) / values.length,
        plots: values.length,
      })),
  }));
}

/** Plots whose scores stop before the last round of the trial: lost, harvested or given up. */
export function endedPlots(plots: readonly PlotCourse[]): readonly PlotCourse[] {
  const last = lastDay(plots);
  return plots.filter((plot) => plot.points.length > 0 && lastDay([plot]) < last);
}

const lastDay = (plots: readonly PlotCourse[]): number =>
  Math.max(...plots.flatMap((plot) => plot.points.map((point) => point.day)));

export type RoundDay = { readonly day: number; readonly date: string | undefined };

/** Days with a score, in order, each with its date where the sheet had one. */
export function roundDays(
  points: readonly { readonly day: number; readonly date?: string }[],
): readonly RoundDay[] {
  const days = new Map<number, string | undefined>();
  for (const { day, date } of points) days.set(day, days.get(day) ?? date);
  return [...days].sort(([a], [b]) => a - b).map(([day, date]) => ({ day, date }));
}
