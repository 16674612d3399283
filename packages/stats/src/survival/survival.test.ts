import { describe, expect, it } from 'vitest';
import { numbersOf, readAnswers, readTable } from '../../oracle/read';
import type { Row } from '../../oracle/read';
import { kaplanMeier } from './kaplan-meier';
import { logRank } from './log-rank';
import { quadraticForm } from './quadratic-form';

// The oracle's own tolerance is 1e-7; nothing here is iterated, so we ask for more.
const tol = { r: 1e-10 };

type Answers = {
  km: {
    strata: string;
    time: number;
    'n.risk': number;
    'n.event': number;
    surv: number;
    se: number | null;
    lo: number | null;
    hi: number | null;
  }[];
  medians: { strata: string; median: number | null; lo: number | null; hi: number | null }[];
  logrank: { chisq: number; df: number; p: number; obs: number[]; exp: number[] };
  logrank_strata?: { chisq: number; p: number };
};

function near(got: number | undefined, expected: number | null) {
  if (expected === null) {
    expect(got).toBeUndefined();
    return;
  }
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected)).toBeLessThanOrEqual(tol.r * Math.max(Math.abs(expected), 1e-3));
}

function followOf(rows: readonly Row[]) {
  return { time: numbersOf(rows, 'time'), happened: rows.map(({ status }) => status === '1') };
}

describe.each([
  { name: 'aml', case: 'g_surv_aml', by: 'x' },
  { name: 'survival_3x4x8', case: 'g_surv_blocks', by: 'trt' },
])('$name against survival 3.5-3 (R 4.2.2)', ({ name, case: file, by }) => {
  const rows = readTable(name);
  const answers = readAnswers(file) as Answers;
  const levels = [...new Set(rows.map((row) => row[by]))].sort();
  const group = rows.map((row) => levels.indexOf(row[by]));

  it.each(levels)('curve, interval and median of %s', (level) => {
    const got = kaplanMeier(followOf(rows.filter((row) => row[by] === level)));
    const expected = answers.km.filter(({ strata }) => strata === `${by}=${level}`);
    expect(got.steps.length).toBe(expected.length);
    expected.forEach((row, i) => {
      const step = got.steps[i];
      expect([step.time, step.atRisk, step.events]).toEqual([
        row.time,
        row['n.risk'],
        row['n.event'],
      ]);
      near(step.survival, row.surv);
      near(step.se, row.se);
      near(step.low, row.lo);
      near(step.high, row.hi);
    });
    const median = answers.medians.find(({ strata }) => strata === `${by}=${level}`)!;
    near(got.median.days, median.median);
    near(got.median.low, median.lo);
    near(got.median.high, median.hi);
  });

  it('log-rank test', () => {
    const got = logRank({ ...followOf(rows), group, groups: levels.length });
    if (!got.known) throw new Error(got.why);
    near(got.statistic, answers.logrank.chisq);
    near(got.p, answers.logrank.p);
    expect(got.df).toBe(answers.logrank.df);
    answers.logrank.obs.forEach((count, i) => expect(got.observed[i]).toBe(count));
    answers.logrank.exp.forEach((count, i) => near(got.expected[i], count));
  });
});

it('log-rank test within blocks, against survdiff with strata (R 4.2.2)', () => {
  const rows = readTable('survival_3x4x8');
  const { logrank_strata: expected } = readAnswers('g_surv_blocks') as Answers;
  const group = rows.map(({ trt }) => 'ABC'.indexOf(trt));
  const stratum = rows.map(({ block }) => Number(block.slice(1)));
  const got = logRank({ ...followOf(rows), group, groups: 3, stratum });
  if (!got.known) throw new Error(got.why);
  near(got.statistic, expected!.chisq);
  near(got.p, expected!.p);
});

describe('edges', () => {
  it('a curve lying at one half has its median half-way to the next drop', () => {
    // As R's survfit: median 2.5 for events at 1, 2, 3, 4.
    const all = kaplanMeier({ time: [1, 2, 3, 4], happened: [true, true, true, true] });
    expect(all.median.days).toBe(2.5);
    expect(all.steps.at(-1)).toMatchObject({ survival: 0, se: undefined, low: undefined });
    const cut = kaplanMeier({ time: [1, 2, 3, 4], happened: [true, true, false, false] });
    expect(cut.median.days).toBe(2);
  });

  it('without an event there is no step, no median and no test', () => {
    const follow = { time: [5, 7], happened: [false, false] };
    expect(kaplanMeier(follow)).toMatchObject({
      n: 2,
      events: 0,
      steps: [],
      median: { days: undefined },
    });
    expect(logRank({ ...follow, group: [0, 1], groups: 2 })).toMatchObject({
      known: false,
      why: 'no-events',
    });
    const together = { time: [5, 7], happened: [true, true] };
    expect(logRank({ ...together, group: [0, 0], groups: 2 })).toMatchObject({
      known: false,
      why: 'too-few',
    });
  });

  it('an empty group changes nothing', () => {
    const follow = { time: [3, 5, 6, 7, 9], happened: [true, true, false, true, true] };
    const two = logRank({ ...follow, group: [0, 0, 1, 1, 1], groups: 2 });
    const three = logRank({ ...follow, group: [0, 0, 2, 2, 2], groups: 3 });
    expect(three.known && three.df).toBe(1);
    expect(three.known && three.statistic).toBeCloseTo(two.known ? two.statistic : NaN, 12);
  });

  it('two strata that never meet add up as two tests', () => {
    const follow = { time: [1, 2, 3, 4, 5, 6], happened: [true, true, true, true, true, true] };
    // Groups 0, 1 only in stratum 0; groups 2, 3 only in stratum 1.
    const got = logRank({
      ...follow,
      group: [0, 1, 0, 2, 3, 3],
      groups: 4,
      stratum: [0, 0, 0, 1, 1, 1],
    });
    const one = logRank({
      time: [1, 2, 3],
      happened: [true, true, true],
      group: [0, 1, 0],
      groups: 2,
    });
    const other = logRank({
      time: [4, 5, 6],
      happened: [true, true, true],
      group: [0, 1, 1],
      groups: 2,
    });
    if (!got.known || !one.known || !other.known) throw new Error('unknown');
    expect(got.df).toBe(2);
    expect(got.statistic).toBeCloseTo(one.statistic + other.statistic, 12);
  });

  it('two groups without ties: the textbook sum of (O - E) and n1 n2 / n^2', () => {
    // By hand: event times 1 (A of 2A 2B), 2 (B of 1A 2B), 3 (A of 1A 1B), 4 (B alone).
    const got = logRank({
      time: [1, 2, 3, 4],
      happened: [true, true, true, true],
      group: [0, 1, 0, 1],
      groups: 2,
    });
    const difference = 2 - (1 / 2 + 1 / 3 + 1 / 2);
    const variance = 1 / 4 + 2 / 9 + 1 / 4;
    expect(got.known && got.statistic).toBeCloseTo(difference ** 2 / variance, 12);
  });

  it('refuses columns that do not match', () => {
    expect(() => kaplanMeier({ time: [1], happened: [] })).toThrow('one length');
    expect(() => logRank({ time: [1], happened: [true], group: [2], groups: 2 })).toThrow(
      '0 to 1; got 2',
    );
  });

  it('a singular quadratic form uses the rank there is', () => {
    const got = quadraticForm(Float64Array.of(1, -1), Float64Array.of(0.5, -0.5, -0.5, 0.5));
    expect(got).toEqual({ value: 2, rank: 1 });
  });
});
