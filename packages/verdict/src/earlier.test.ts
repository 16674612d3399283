import { expectedSpread } from '@fairbed/stats';
import { describe, expect, it } from 'vitest';
import { type EarlierSpread, expectedFrom, spreadsOf } from './earlier';
import type { Counts, Outcome } from './judgement';

const outcome = (id: string, residualSd: number | null, df: number): Outcome => ({
  id,
  title: id,
  unit: '%',
  better: 'lower',
  plots: [],
  treatments: [],
  anova: { rows: [{ source: 'residual', df, ss: 0, ms: null, f: null, p: null }], residualSd },
});

const counts = (plot: number): Counts => ({
  model: 'binomial-mixed',
  logLik: -100,
  fixed: [],
  sd: { plot },
  treatments: [],
});

describe('spreads handed on to later trials', () => {
  it('are those of outcomes and of leaves', () => {
    const outcomes = [outcome('incidence-last', 5, 9), outcome('severity-last', 3, 9)];
    expect(spreadsOf({ outcomes, counts: counts(0.4) })).toEqual([
      { outcome: 'incidence-last', scale: 'outcome', sd: 5, df: 9 },
      { outcome: 'severity-last', scale: 'outcome', sd: 3, df: 9 },
      { outcome: 'incidence-last', scale: 'log-odds', sd: 0.4, df: 9 },
    ]);
  });

  it('are none of 0, and none without degrees of freedom', () => {
    const outcomes = [outcome('incidence-last', 5, 9), outcome('severity-last', 0, 9)];
    expect(spreadsOf({ outcomes, counts: counts(0) })).toEqual([
      { outcome: 'incidence-last', scale: 'outcome', sd: 5, df: 9 },
    ]);
    expect(spreadsOf({ outcomes: [outcome('incidence-last', 5, 0)], counts: counts(1) })).toEqual(
      [],
    );
  });
});

describe('what earlier trials let expect', () => {
  const spread = (sd: number): EarlierSpread => ({
    outcome: 'incidence-last',
    scale: 'log-odds',
    sd,
    df: 9,
  });

  it('passes over a spread of 0, of which nothing follows', () => {
    const found = expectedFrom([spread(0), spread(0.4)], 'incidence-last', 'log-odds');
    expect(found).toEqual(expectedSpread([{ sd: 0.4, df: 9 }]));
    expect(found?.trials).toBe(1);
  });

  it('is nothing where all that fits is 0, or nothing fits', () => {
    expect(expectedFrom([spread(0)], 'incidence-last', 'log-odds')).toBeUndefined();
    expect(expectedFrom([spread(0.4)], 'incidence-last', 'outcome')).toBeUndefined();
    expect(expectedFrom(undefined, 'incidence-last', 'log-odds')).toBeUndefined();
  });
});
