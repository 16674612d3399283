import { friedman, kruskalWallis } from '@fairbed/stats';
import type { Outcome } from './judgement';
import type { Layout } from './layout';
import type { PlotTable } from './table';

/** Places of the plots by the level of a grouping. */
const placesOf = (codes: Int32Array, levels: number): number[][] =>
  Array.from({ length: levels }, (_, level) => [...codes.keys()].filter((i) => codes[i] === level));

/** The values of a block in the order of the treatments; undefined unless each stands in it once. */
function blockRow(
  { treatment }: PlotTable,
  values: readonly (number | undefined)[],
  plots: readonly number[],
): number[] | undefined {
  const row = treatment.levels.map((_, code) => {
    const mine = plots.filter((i) => treatment.codes[i] === code);
    return mine.length === 1 ? values[mine[0] ?? 0] : undefined;
  });
  return row.every((value) => value !== undefined) ? row : undefined;
}

/**
 * Friedman's test where every block holds every treatment once and no plot is lost;
 * Kruskal-Wallis over all plots with a value where there are no blocks (stats, both with ties).
 * Absent for other layouts, and where there is no variation to rank.
 */
export function ranksOf(
  table: PlotTable,
  layout: Layout,
  values: readonly (number | undefined)[],
): Pick<Outcome, 'ranks'> {
  const { treatment, block } = table;
  if (layout.kind === 'randomised-blocks' && block) {
    const rows = placesOf(block.codes, block.levels.length).map((plots) =>
      blockRow(table, values, plots),
    );
    if (!rows.every((row) => row !== undefined)) return {};
    const test = friedman(rows);
    return test.known ? { ranks: { test: 'friedman', ...figures(test) } } : {};
  }
  if (layout.kind !== 'completely-randomised') return {};
  const groups = placesOf(treatment.codes, treatment.levels.length).map((plots) =>
    plots.flatMap((i) => values[i] ?? []),
  );
  const test = kruskalWallis(groups.filter((group) => group.length > 0));
  return test.known ? { ranks: { test: 'kruskal-wallis', ...figures(test) } } : {};
}

const figures = ({ statistic, df, p }: { statistic: number; df: number; p: number }) => ({
  statistic,
  df,
  p,
});
