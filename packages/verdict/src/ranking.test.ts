import { readFileSync } from 'node:fs';
import {
  mainOutcome,
  type OutcomeId,
  plotValues,
  readTrialText,
  tabulate,
  type Trial,
} from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { type OracleRow, oracleAnswers, oracleRows, plotsOnly } from '../gallery/oracle-trial';
import type { EarlierSpread } from './earlier';
import { layoutFor } from './layout';
import type { MethodInput } from './method-input';
import { rankingOf, type RankingPart } from './ranking';
import { plotTable } from './table';

const tol = { probability: 0.01, priors: 0.02 };

/** Plants with leaves standing and diseased, at one round. */
const counted = (rows: readonly OracleRow[]): Trial => ({
  ...plotsOnly(rows),
  scores: rows.map(({ block, trt, plant, diseased, leaves }) => ({
    plot: `${block}${trt}`,
    plant,
    round: 'r',
    diseased: Number(diseased),
    standing: Number(leaves),
  })),
});

const inputOf = (trial: Trial, id?: OutcomeId): MethodInput => {
  const tally = tabulate(trial);
  const control = trial.control ?? trial.treatments.find(({ kind }) => kind === 'untreated')!.id;
  const table = plotTable(trial, control);
  return {
    tally,
    table,
    layout: layoutFor(trial, table),
    control: table.treatment.levels[table.control],
    outcome: plotValues(tally, id ?? mainOutcome(tally)!),
    seed: 1,
  };
};

const ranked = (input: MethodInput, earlier?: readonly EarlierSpread[]): RankingPart => {
  const part = rankingOf(input, { worthHavingPercent: 30, earlier });
  if (!part.known) throw new Error(part.why);
  return part.value;
};

const demo = (name: string): Trial => {
  const file = new URL(`../../../data/demo/${name}.json`, import.meta.url);
  const read = readTrialText(readFileSync(file, 'utf8'));
  if (!read.ok) throw new Error(read.problems.map(({ what }) => what).join('; '));
  return read.trial;
};

describe('the chance of being the best, by leaf counts', () => {
  const part = ranked(inputOf(counted(oracleRows('leaf_4x4x6'))));

  it('is R’s (rstanarm) within 0.01, from plants of plots in blocks', () => {
    const r = oracleAnswers('h_bayes_leaf_4x4x6') as {
      prob_lowest: Record<string, number>;
      prob_each_lower_than_first: Record<string, number>;
    };
    expect(part.rankingHow.data).toBe('counts');
    for (const { name, best, beatsControl } of part.ranking) {
      expect(Math.abs(best - r.prob_lowest[`trt${name}`])).toBeLessThan(tol.probability);
      const lower = r.prob_each_lower_than_first[`trt${name}`];
      expect(Math.abs(beatsControl - lower)).toBeLessThan(tol.probability);
    }
  });

  it('is told to a grower, the likeliest first, no nearer than it is known', () => {
    expect(part.rankingHow.says).toMatch(
      /^Chance of being the best: C 64\u00a0%, B 35\u00a0%, D under 1\u00a0% and A under 1\u00a0%\. /,
    );
    expect(part.rankingHow.says).toContain('by 30\u00a0% or more: C 9');
    expect(part.rankingHow.spreads.map(({ name }) => name).sort()).toEqual(['block', 'plot']);
  });

  it('stays finite where a treatment has no diseased leaf', () => {
    const rows = oracleRows('leaf_4x4x6').map((row) =>
      row.trt === 'B' ? { ...row, diseased: '0' } : row,
    );
    const clean = ranked(inputOf(counted(rows)));
    const b = clean.ranking.find(({ name }) => name === 'B')!;
    expect(b.best).toBeGreaterThan(0.99);
    expect(b.beatsWorthwhile).toBeGreaterThan(0.99);
  });
});

describe('the chance of being the best, by plot values', () => {
  const chard = demo('chard-leaf-spot');

  it('ranks every outcome of the demo, and the treatment that truly works comes first', () => {
    const part = ranked(inputOf(chard, 'diseased-cumulative'));
    expect(part.rankingHow.data).toBe('values');
    const sum = part.ranking.reduce((total, { best }) => total + best, 0);
    expect(sum).toBeCloseTo(1, 12);
    const truth = JSON.parse(
      readFileSync(new URL('../../../data/demo/truth.json', import.meta.url), 'utf8'),
    ) as { trials: { trial: string; infectionPrevented: Record<string, number> }[] };
    const prevented = truth.trials.find(({ trial }) => trial === chard.id)!.infectionPrevented;
    const [best] = Object.entries(prevented).sort(([, a], [, b]) => b - a)[0];
    const name = chard.treatments.find(({ id }) => id === best)!.name;
    const first = [...part.ranking].sort((a, b) => b.best - a.best)[0];
    expect(first.name).toBe(name);
  });

  it('says how far it leans on earlier trials, and moves with them', () => {
    const input = inputOf(chard, 'diseased-cumulative');
    const plain = ranked(input);
    const spread = { outcome: 'diseased-cumulative', scale: 'outcome', sd: 200, df: 30 } as const;
    const leaning = ranked(input, [spread, spread, spread]);
    expect(plain.rankingHow.earlier).toBeUndefined();
    expect(leaning.rankingHow.says).toContain('comes from 3 earlier trials');
    const top = (part: RankingPart) => Math.max(...part.ranking.map(({ best }) => best));
    expect(top(leaning)).toBeLessThan(top(plain));
    // Of another outcome, or on the scale of counts, they tell nothing here.
    const other = ranked(input, [{ ...spread, outcome: 'incidence-last' }]);
    expect(other).toEqual(plain);
  });

  it('ranks single plots only where earlier trials tell how much plots scatter', () => {
    const input = inputOf(demo('leek-rust-one-plot-each'));
    const alone = rankingOf(input, { worthHavingPercent: 30 });
    expect(alone).toEqual({
      known: false,
      why: expect.stringContaining('earlier trials') as string,
    });
    const outcome = input.outcome!.id;
    const spread: EarlierSpread = { outcome, scale: 'outcome', sd: 2, df: 9 };
    const part = ranked(input, [spread]);
    expect(part.rankingHow.says).toContain(
      'all that is known of the spread between plots comes from one earlier trial',
    );
  });

  it('and so for leaf counts, on log-odds', () => {
    const input = inputOf(counted(oracleRows('leaf_4x4x6').filter(({ block }) => block === 'B1')));
    expect(rankingOf(input, { worthHavingPercent: 30 }).known).toBe(false);
    const spread = (sd: number): EarlierSpread[] => [
      { outcome: 'incidence-last', scale: 'log-odds', sd, df: 9 },
    ];
    const even = ranked(input, spread(0.1));
    const uneven = ranked(input, spread(2));
    expect(even.rankingHow.data).toBe('counts');
    const top = (part: RankingPart) => Math.max(...part.ranking.map(({ best }) => best));
    expect(top(uneven)).toBeLessThan(top(even));
  });
});
