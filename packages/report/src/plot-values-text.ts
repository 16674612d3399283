import type { Outcome, TreatmentMean } from '@fairbed/verdict';
import { intervalText, type NumberFormat, numberFormat, unitWords, withUnit } from './format';

export type PlotValue = { readonly plot: string; readonly value: number };

/** Plots of a treatment that have a value, from the smallest up. */
export const plotValuesOf = (outcome: Outcome, treatment: string): readonly PlotValue[] =>
  outcome.plots
    .flatMap((p) =>
      p.treatment === treatment && p.value !== null ? [{ plot: p.plot, value: p.value }] : [],
    )
    .sort((a, b) => a.value - b.value || a.plot.localeCompare(b.plot, 'en', { numeric: true }));

/** One way of writing all the values of an outcome. */
export const outcomeFormat = (outcome: Outcome): NumberFormat =>
  numberFormat(outcome.plots.map((p) => p.value).filter((v) => v !== null));

export const plotValuesTitle = (outcome: Outcome): string =>
  `${withUnit(outcome.title, unitWords(outcome.unit))}, plot by plot`;

/** `mean 12.3 (10.1 to 14.5)`; a single plot is called that. */
export function meanFigure(mean: TreatmentMean, format: NumberFormat): string {
  if (mean.mean === null) return 'no value';
  if (mean.plots === 1) return `${format(mean.mean)}, one plot`;
  const interval = intervalText(mean.low, mean.high, format);
  return `mean\u00a0${format(mean.mean)}${interval === undefined ? '' : ` (${interval})`}`;
}

/** Text alternative of the plot values: mean, interval and every plot of each treatment. */
export function describePlotValues(outcome: Outcome): string {
  const format = outcomeFormat(outcome);
  const rows = outcome.treatments.map((t) => {
    const plots = plotValuesOf(outcome, t.name).map((p) => `${p.plot} ${format(p.value)}`);
    const each = plots.length > 1 ? `; plots ${plots.join(', ')}` : '';
    return `${t.name}: ${meanFigure(t, format)}${each}.`;
  });
  const lost = outcome.plots.filter((p) => p.value === null).map((p) => p.plot);
  if (lost.length > 0) rows.push(`No value: ${lost.join(', ')}.`);
  return rows.join(' ');
}
