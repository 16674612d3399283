import type { Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { oracleAnswers, oracleRows, plotsOnly } from '../gallery/oracle-trial';
import { layoutFor } from './layout';
import { exactRanks, ranksOf } from './ranks';
import { plotTable } from './table';

// R's sampled p rests on 200,000 draws: 4 standard errors near 0.038.
const tol = { r: 1e-9, sampled: 0.0018 };

const R = oracleAnswers('ranks') as Record<
  'friedman_plots' | 'friedman_plots_sampled',
  { statistic: number; p: number }
>;
const rows = oracleRows('leaf_4x4x6');
const trial: Trial = plotsOnly(rows);
const means = trial.plots.map(({ id }) => {
  const own = rows.filter(({ block, trt }) => `${block}${trt}` === id);
  return own.reduce((sum, { diseased }) => sum + Number(diseased), 0) / own.length;
});
const table = plotTable(trial, 'A');
const layout = layoutFor(trial, table);

describe('ranks of plot values', () => {
  it('complete blocks: Friedman, as coin has it', () => {
    const { ranks } = ranksOf(table, layout, means);
    expect(ranks?.test).toBe('friedman');
    expect(Math.abs(ranks!.statistic / R.friedman_plots.statistic - 1)).toBeLessThan(tol.r);
  });

  it('a lost plot: ranks within the blocks that are left', () => {
    const lost = means.map((value, i) => (i === 5 ? undefined : value));
    const { ranks } = ranksOf(table, layout, lost);
    expect(ranks).toMatchObject({ test: 'within-blocks', df: 3 });
    expect(ranks!.p).toBeGreaterThan(0);
  });

  it('the exact form, and what must not matter to it', () => {
    const test = exactRanks(table, layout, means, 1);
    if (!test.tested) throw new Error(test.why);
    expect(Math.abs(test.result.p - R.friedman_plots_sampled.p)).toBeLessThan(tol.sampled);
    const rising = exactRanks(
      table,
      layout,
      means.map((value) => value ** 3),
      1,
    );
    expect(rising).toEqual(test);
  });

  it('values all alike: none', () => {
    const alike = means.map(() => 3);
    expect(ranksOf(table, layout, alike)).toEqual({});
    expect(exactRanks(table, layout, alike, 1)).toMatchObject({ tested: false });
  });
});
