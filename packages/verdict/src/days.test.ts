import { tabulate, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { oracleAnswers, oracleRows, plotsOnly } from '../gallery/oracle-trial';
import { daysMethod, timeOf } from './days';
import { layoutFor } from './layout';
import type { MethodInput } from './method-input';
import { looksOf, spellsOf } from './spells';
import { plotTable } from './table';

const tol = { r: 1e-9, sampled: 0.0018 };

const rows = oracleRows('survival_3x4x8');
const written: Trial = {
  ...plotsOnly(rows),
  times: rows.map(({ block, trt, time, status }, i) => ({
    plot: `${block}${trt}`,
    plant: String(i),
    event: 'first-symptom' as const,
    days: Number(time),
    happened: status === '1',
  })),
};

/** The same trial as rounds of leaf counts: a plant has a diseased leaf from its day on. */
const scored: Trial = {
  ...plotsOnly(rows),
  rounds: [0, 7, 14, 21, 28, 35, 42, 49, 56].map((at) => ({ id: `d${at}`, at })),
  scores: rows.flatMap(({ block, trt, time, status }, i) =>
    [0, 7, 14, 21, 28, 35, 42, 49, 56].map((at) => ({
      plot: `${block}${trt}`,
      plant: String(i),
      round: `d${at}`,
      standing: 10,
      diseased: status === '1' && at >= Number(time) ? 2 : 0,
    })),
  ),
};

function inputOf(trial: Trial): MethodInput {
  const table = plotTable(trial, 'A');
  return { tally: tabulate(trial), table, layout: layoutFor(trial, table), control: 'A', seed: 1 };
}

function time(trial: Trial) {
  const found = timeOf(inputOf(trial));
  if (found?.known !== true) throw new Error(found?.why ?? 'nothing');
  return found.value;
}

describe('days of 96 plants in 12 plots (oracle g_surv_blocks)', () => {
  const R = oracleAnswers('g_surv_blocks') as {
    logrank: { chisq: number };
    logrank_strata: { chisq: number };
    medians: { median: number | null }[];
  };
  const draws = oracleAnswers('days') as {
    by_draw: { p: number };
    clmm_block_plot: { coef: Record<string, number>; sd: { block: number; plot: number } };
  };
  const part = time(written);

  it('the plain log-rank test is that of survdiff; medians are those of survfit', () => {
    expect(Math.abs(part.logRank.statistic / R.logrank.chisq - 1)).toBeLessThan(tol.r);
    expect(part.median.map(({ days }) => days)).toEqual(R.medians.map(({ median }) => median));
  });

  it('a median on day 35 of weekly looks lies between day 28 and day 35', () => {
    expect(part.median[0]).toMatchObject({ name: 'A', days: 35, from: 28, to: 35 });
    expect(part.median[2]).toMatchObject({ name: 'C', days: null, to: null });
  });

  it('within blocks it is that of survdiff with strata', () => {
    expect(Math.abs(part.withinBlocks!.statistic / R.logrank_strata.chisq - 1)).toBeLessThan(tol.r);
    expect(part.withinBlocks!.df).toBe(2);
  });

  it('the layout decides: p 0.042 where plants one by one say 0.0005', () => {
    expect(part.exact).toMatchObject({ enumerated: true, layouts: '1296' });
    expect(Math.abs(part.exact!.p - draws.by_draw.p)).toBeLessThan(tol.sampled);
    expect(part.decidedBy).toBe('layout');
    expect(part.logRank.p).toBeLessThan(0.001);
  });

  it('ratios are those of the mixed model with blocks and plots', () => {
    for (const { name, ratio, low, high } of part.versusControl!) {
      expect(Math.abs(Math.log(ratio!) + draws.clmm_block_plot.coef[`trt${name}`])).toBeLessThan(
        1e-4,
      );
      expect(low! < ratio! && ratio! < high!).toBe(true);
    }
    expect(part.sd!['plot']).toBeCloseTo(draws.clmm_block_plot.sd.plot, 3);
  });

  it('curves fall from look to look, never inside one', () => {
    const [a] = part.curves!;
    expect(a.steps.slice(0, 2)).toMatchObject([
      { from: 7, to: 14, share: 0.90625 },
      { from: 14, to: 21, share: 0.6875 },
    ]);
    expect(a.steps.at(-1)).toMatchObject({ from: 56, to: null, share: 0 });
  });

  it('first symptoms read off rounds of leaf counts give the same answer', () => {
    const there = time(scored);
    expect(there).toMatchObject({ source: 'scores', event: 'first-symptom' });
    expect(there.exact!.p).toBe(part.exact!.p);
    expect(there.curves).toEqual(part.curves);
    there.versusControl!.forEach(({ ratio }, i) =>
      expect(ratio).toBeCloseTo(part.versusControl![i].ratio!, 8),
    );
    // By the permutation variance of plants in place of Mantel's of days: 13.60 for 15.32.
    expect(Math.abs(there.withinBlocks!.statistic / part.withinBlocks!.statistic - 1)).toBeLessThan(
      0.15,
    );
  });

  it('later symptoms are better, and it says so', () => {
    const found = daysMethod(inputOf(written));
    if (!found.known) throw new Error(found.why);
    const { value } = found;
    expect(value.p).toBe(part.exact!.p);
    expect(value.versusControl.map(({ better }) => better)).toEqual([true, true]);
    expect(value.says).toContain('First symptoms came later under C than under A');
    // Heading has no better side.
    const heading = written.times.map((one) => ({ ...one, event: 'heading' as const }));
    const other = daysMethod(inputOf({ ...written, times: heading }));
    expect(other.known && other.value.versusControl.map(({ better }) => better)).toEqual([
      null,
      null,
    ]);
  });
});

describe('when something happened', () => {
  it('days of looks leave a stretch, days that follow each other do not', () => {
    expect(looksOf([7, 14, 14, 28])).toEqual([7, 14, 28]);
    expect(looksOf([7, 8, 14])).toBeUndefined();
    expect(looksOf([7, 7])).toBeUndefined();
  });

  it('a plant missed at a round has a longer stretch; one ill at the first round has no beginning', () => {
    const short: Trial = {
      ...scored,
      scores: scored.scores.filter(({ plant, round }) => !(plant === '0' && round === 'd21')),
    };
    const spells = spellsOf(tabulate(short), plotTable(short, 'A'))!;
    expect([spells.left[0], spells.right[0]]).toEqual([14, 28]);
    const ill: Trial = {
      ...scored,
      scores: scored.scores.map((s) => (s.plant === '1' ? { ...s, diseased: 1 } : s)),
    };
    const early = spellsOf(tabulate(ill), plotTable(ill, 'A'))!;
    expect([early.left[1], early.right[1]]).toEqual([-Infinity, 0]);
  });

  it('guard plants and other kinds of event are left out, and said', () => {
    const mixed: Trial = {
      ...written,
      plants: [{ id: '0', plot: 'B1A', guard: true }],
      times: written.times.map((one, i) => (i === 1 ? { ...one, event: 'harvest' as const } : one)),
    };
    const spells = spellsOf(tabulate(mixed), plotTable(mixed, 'A'))!;
    expect(spells.plots.length).toBe(94);
    expect(spells.notes[0]).toContain('94 of 96');
  });

  it('nothing happened, or nothing written: a reason', () => {
    const never = written.times.map((one) => ({ ...one, happened: false }));
    expect(timeOf(inputOf({ ...written, times: never }))).toMatchObject({ known: false });
    expect(daysMethod(inputOf(plotsOnly(rows)))).toMatchObject({ known: false });
  });
});
