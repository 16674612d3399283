import { type MeasureId, measureOf, type OutcomeId, plotSeries, type Tally } from '@fairbed/trial';

/** Which share of disease says whether there was any to fight, for each kind of outcome. */
function pressureMeasure(tally: Tally, outcome: OutcomeId): MeasureId | undefined {
  const measure = measureOf(tally, outcome);
  switch (measure) {
    case 'severity':
      return 'severity';
    case 'grade':
    case 'grade-index':
      return 'grade-index';
    case 'value':
    case 'baseline':
      return undefined;
    default:
      return tally.recorded.stripping ? 'incidence-cumulative' : 'incidence';
  }
}

/**
 * Highest mean disease of the control's plots in any round, percent (share of leaves, stripped
 * ones counted; leaf area; or grade index, whichever the outcome is made of). Undefined for
 * outcomes that are no share of anything.
 */
export function peakDisease(tally: Tally, outcome: OutcomeId, control: string): number | undefined {
  const measure = pressureMeasure(tally, outcome);
  if (measure === undefined) return undefined;
  const byDay = new Map<number, number[]>();
  const series = plotSeries(tally, measure);
  for (const { id, treatment } of tally.trial.plots) {
    if (treatment !== control) continue;
    for (const { day, value } of series.plots.get(id) ?? []) {
      byDay.set(day, [...(byDay.get(day) ?? []), value]);
    }
  }
  const means = [...byDay.values()].map((all) => all.reduce((a, b) => a + b, 0) / all.length);
  return means.length === 0 ? undefined : Math.max(...means);
}

/** Was any leaf stripped, as far as was written down? */
export const wasStripped = (tally: Tally): boolean =>
  tally.recorded.stripping && tally.entries.stripped.some((leaves) => leaves > 0);

/** Outcomes that stripping itself lowers: what was taken off is no longer counted. */
export function strippingHides(tally: Tally, outcome: OutcomeId): boolean {
  const lowered: readonly MeasureId[] = ['incidence', 'severity', 'grade', 'grade-index'];
  if (outcome === 'onset-days' || !lowered.includes(measureOf(tally, outcome))) return false;
  return wasStripped(tally);
}
