import { endedPlots, meanCourses, type Progress, roundDays } from './course';
import type { ChartEvent } from './day-axis';
import { type NumberFormat, numberFormat, shortDate, unitWords, withUnit } from './format';

export const progressTitle = (progress: Progress): string =>
  withUnit(progress.measure, unitWords(progress.unit));

export const progressFormat = (progress: Progress): NumberFormat =>
  numberFormat(progress.plots.flatMap((plot) => plot.points.map((point) => point.value)));

/** A sentence on every plot that stopped early, `undefined` where none did. */
export function endedText(progress: Progress): string | undefined {
  const ended = endedPlots(progress.plots).map((plot) => {
    const last = plot.points.reduce((a, b) => (b.day > a.day ? b : a));
    const when = last.date === undefined ? `day\u00a0${last.day}` : shortDate(last.date);
    return `plot ${plot.plot} (${plot.treatment}), not scored after ${when}`;
  });
  return ended.length === 0 ? undefined : `× ${ended.join('; ')}`;
}

/** Text alternative of the progress chart: where each treatment's mean starts, peaks and ends. */
export function describeProgress(progress: Progress, events: readonly ChartEvent[] = []): string {
  const format = progressFormat(progress);
  const rounds = roundDays(progress.plots.flatMap((plot) => plot.points));
  const when = (day: number): string => {
    const date = rounds.find((r) => r.day === day)?.date;
    return date === undefined ? `day\u00a0${day}` : shortDate(date);
  };
  const rows = meanCourses(progress.plots).flatMap(({ treatment, points }) => {
    const [first] = points;
    const last = points.at(-1);
    if (!first || !last) return [];
    const peak = points.reduce((a, b) => (b.value > a.value ? b : a));
    return [
      `${treatment}: ${format(first.value)} on ${when(first.day)}, ` +
        `highest ${format(peak.value)} on ${when(peak.day)}, ` +
        `${format(last.value)} on ${when(last.day)}.`,
    ];
  });
  const ended = endedText(progress);
  const happened = events.map((e) => `${e.label}, day\u00a0${e.day}`).join('; ');
  return [
    `Means over the plots, ${rounds.length} round${rounds.length === 1 ? '' : 's'}.`,
    ...rows,
    ...(ended === undefined ? [] : [`${ended}.`]),
    ...(happened === '' ? [] : [`Events: ${happened}.`]),
  ].join(' ');
}
