import { leafBalance, type MeasureId, plotSeries, type Tally } from '@fairbed/trial';
import type { Judgement } from './whole';
import type { PlotTable } from './table';
import { treatmentNames } from './table';

/** Every plot's course of a measure, for the progress chart; absent where nothing was recorded. */
export function progressOf(
  tally: Tally,
  table: PlotTable,
  measure: MeasureId,
): Pick<Judgement, 'progress'> {
  const series = plotSeries(tally, measure);
  const plots = table.plots.map((plot, i) => ({
    plot,
    treatment: table.treatment.levels[table.treatment.codes[i] ?? 0] ?? '',
    block: table.block?.levels[table.block.codes[i] ?? 0] ?? null,
    points: series.plots.get(plot) ?? [],
  }));
  const rounds = Math.max(0, ...plots.map(({ points }) => points.length));
  return rounds < 2 ? {} : { progress: { measure: series.title, unit: series.unit, plots } };
}

type Balance = {
  readonly parts: Pick<Judgement, 'leafBalance' | 'balanceOverTime'>;
  /** What was never written down: the figures are then net of it. */
  readonly notes: readonly string[];
};

/** The leaf balance by treatment: totals, and round by round for its chart; absent without counts. */
export function balanceOf(tally: Tally): Balance {
  const balance = leafBalance(tally);
  const names = treatmentNames(tally.trial);
  const nameOf = (id: string): string => names.get(id) ?? id;
  // One round has nothing to balance with.
  const shown = balance.treatments.filter(({ points }) => points.length > 1);
  if (shown.length === 0) return { parts: {}, notes: [] };
  const leafBalanceRows = shown.map(({ treatment, totals }) => ({
    treatment: nameOf(treatment),
    newLeaves: totals.newLeaves ?? null,
    strippedLeaves: totals.stripped ?? null,
    lostLeaves: totals.lost ?? null,
    cumulativeDiseased: totals.cumulativeDiseased ?? null,
    healthyLeafDays: totals.healthyLeafDays ?? null,
  }));
  const balanceOverTime = shown.map(({ treatment, points }) => ({
    treatment: nameOf(treatment),
    points: points.map(({ day, date, standing, healthy, diseased, ...soFar }) => ({
      day,
      ...(date === undefined ? {} : { date }),
      healthy: healthy ?? standing,
      diseased: diseased ?? 0,
      strippedSoFar: soFar.strippedSoFar ?? 0,
      lostSoFar: soFar.lostSoFar ?? 0,
      newSoFar: soFar.newSoFar,
    })),
  }));
  const notes = balance.problems.flatMap(({ code, what }) =>
    code.endsWith('-not-recorded') ? [what] : [],
  );
  return { parts: { leafBalance: leafBalanceRows, balanceOverTime }, notes };
}
