import { blockedRankScores, blockedRankTest, friedman, kruskalWallis } from '@fairbed/stats';
import type { Outcome } from './judgement';
import type { Layout } from './layout';
import { type LayoutTest, layoutTest } from './layout-test';
import { pick, type PlotTable } from './table';

type Values = readonly (number | undefined)[];

/** Places of the plots by the level of a grouping. */
const placesOf = (codes: Int32Array, levels: number): number[][] =>
  Array.from({ length: levels }, (_, level) => [...codes.keys()].filter((i) => codes[i] === level));

/** The values of a block in the order of the treatments; undefined unless each stands in it once. */
function blockRow(
  { treatment }: PlotTable,
  values: Values,
  plots: readonly number[],
): number[] | undefined {
  const row = treatment.levels.map((_, code) => {
    const mine = plots.filter((i) => treatment.codes[i] === code);
    return mine.length === 1 ? values[mine[0] ?? 0] : undefined;
  });
  return row.every((value) => value !== undefined) ? row : undefined;
}

/** Plots with a value, as the rank tests of stats take them. */
function valued({ treatment, block }: PlotTable, values: Values) {
  const kept = values.flatMap((value, i) => (value === undefined ? [] : [i]));
  return {
    kept,
    values: kept.map((i) => values[i] ?? 0),
    group: pick(treatment, kept).codes,
    groups: treatment.levels.length,
    ...(block && block.levels.length > 1 ? { block: pick(block, kept).codes } : {}),
  };
}

/**
 * Ranks of the plots by the chi-square approximation (stats, all with ties). Friedman's test where
 * every block holds every treatment once and no plot is lost; Kruskal-Wallis over all plots with a
 * value where there are no blocks; else ranks within blocks, of unequal size or with a treatment
 * several times (van Elteren's test with two treatments). Absent for squares and split plots, and
 * where there is no variation to rank.
 */
export function ranksOf(table: PlotTable, layout: Layout, values: Values): Pick<Outcome, 'ranks'> {
  const { treatment, block } = table;
  const blocked = layout.kind === 'randomised-blocks' || layout.kind === 'incomplete-blocks';
  if (blocked && block && block.levels.length > 1) {
    const rows = placesOf(block.codes, block.levels.length).map((plots) =>
      blockRow(table, values, plots),
    );
    const complete = rows.every((row) => row !== undefined);
    const test = complete ? friedman(rows) : blockedRankTest(valued(table, values));
    const name = complete ? 'friedman' : 'within-blocks';
    return test.known ? { ranks: { test: name, ...figures(test) } } : {};
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

/**
 * The exact form of these tests: the ranks of the plots' values within blocks (over all plots where
 * there are none) in place of the values, over all layouts that could have been drawn, step-down
 * against the control. Without lost plots and with each treatment once in a block p is Friedman's
 * exact p.
 */
export function exactRanks(
  table: PlotTable,
  layout: Layout,
  values: Values,
  seed: number,
): LayoutTest {
  if (layout.set === undefined || layout.kind === 'split-plot') {
    return { tested: false, why: 'This layout has no test of ranks of its own.' };
  }
  const own = valued(table, values);
  const scores = blockedRankScores(own.values, layout.latin ? undefined : own.block);
  const ranked: (number | undefined)[] = values.map(() => undefined);
  own.kept.forEach((i, at) => (ranked[i] = scores[at]));
  const adjust = layout.adjust(table);
  return layoutTest({ table, values: ranked, layouts: layout.set, adjust, seed });
}
