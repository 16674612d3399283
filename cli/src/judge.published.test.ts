// `fairbed judge` against figures in print; the source stands beside each check.
import { describe, expect, it } from 'vitest';
import { judgedFile, judgedRows, named, near, oracleInput, outcomeOf, tol } from '../test/judging';

const valueFlags = { treatment: 'treatment', value: 'y', outcome: 'value-last' } as const;

describe('Darwin’s maize, 15 pairs (Fisher 1935, The Design of Experiments, section 21)', () => {
  // Differences crossed - selfed in eighths of an inch; each pair is a block of two.
  const differences = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
  const got = judgedRows(
    [
      ['pair', 'treatment', 'y'],
      ...differences.flatMap((d, i) => [
        [`P${i + 1}`, 'selfed', 100],
        [`P${i + 1}`, 'crossed', 100 + d],
      ]),
    ],
    { ...valueFlags, block: 'pair', control: 'selfed', better: 'higher' },
  );
  const outcome = outcomeOf(got, 'value-last');

  it('1726 of 32,768 sign patterns are as extreme', () => {
    expect(got.design.layouts).toBe('32768');
    expect(outcome.exact!.p).toBe(1726 / 32768);
    expect(named(outcome.exact!.versusControl, 'crossed').p).toBe(1726 / 32768);
  });

  it('paired t: t 2.14799, p 0.049703', () => {
    const { difference, se, p } = named(outcome.versusControl, 'crossed');
    near(difference, 314 / 15, tol.closedForm);
    near(difference! / se!, 2.14799, tol.printed(5));
    near(p, 0.049703, tol.printed(6));
  });
});

it('Dunnett 1955 (JASA 50:1096), unequal groups: p 0.620 and 0.0059, limits to two decimals', () => {
  const groups = {
    control: [7.4, 8.5, 7.2, 8.24, 9.84, 8.32],
    A: [9.76, 8.8, 7.68, 9.36],
    B: [12.8, 9.68, 12.16, 9.2, 10.55],
  };
  const rows = Object.entries(groups).flatMap(([name, all]) => all.map((y) => [name, y]));
  const outcome = outcomeOf(
    judgedRows([['treatment', 'y'], ...rows], { ...valueFlags, control: 'control' }),
    'value-last',
  );
  const [a, b] = [named(outcome.versusControl, 'A'), named(outcome.versusControl, 'B')];
  near(a.p, 0.62, { abs: 0.002 });
  near(b.p, 0.0059, { abs: 0.002 });
  near(a.difference! / a.se!, 0.857, tol.printed(3));
  near(b.difference! / b.se!, 3.694, tol.printed(3));
  near(a.low, -1.26, tol.printed(2));
  near(a.high, 2.56, tol.printed(2));
  near(b.low, 0.84, tol.printed(2));
  near(b.high, 4.42, tol.printed(2));
});

it('plant weights (Dobson 1983; R’s PlantGrowth): F 4.8461, Tukey, letters', () => {
  const got = judgedFile(oracleInput('plant-growth'), {
    treatment: 'group',
    value: 'weight',
    control: 'ctrl',
    outcome: 'value-last',
    better: 'higher',
  });
  const outcome = outcomeOf(got, 'value-last');
  const treatment = outcome.anova!.rows.find(({ source }) => source === 'treatment')!;
  near(treatment.f, 4.8461, tol.printed(4));
  near(treatment.p, 0.01591, tol.printed(5));
  const pair = (a: string, b: string) =>
    outcome.allPairs!.find((row) => [row.a, row.b].includes(a) && [row.a, row.b].includes(b))!;
  near(pair('trt1', 'ctrl').p, 0.3909, { abs: 0.0005 });
  near(pair('trt2', 'ctrl').p, 0.198, { abs: 0.0005 });
  near(pair('trt2', 'trt1').p, 0.012, { abs: 0.0005 });
  // Higher is better, so the best carries a: trt2 a, ctrl ab, trt1 b (the printed a and b swapped).
  expect(outcome.letters).toEqual({ ctrl: 'ab', trt1: 'b', trt2: 'a' });
});

it('plant weights: Kruskal-Wallis H 7.9882, p .01842 (Dobson 1983; R example)', () => {
  const got = judgedFile(oracleInput('plant-growth'), {
    treatment: 'group',
    value: 'weight',
    control: 'ctrl',
    outcome: 'value-last',
    better: 'higher',
  });
  const { ranks } = outcomeOf(got, 'value-last');
  expect(ranks).toMatchObject({ test: 'kruskal-wallis', df: 2 });
  near(ranks!.statistic, 7.9882, tol.printed(4));
  near(ranks!.p, 0.01842, tol.printed(5));
});

it('rounding first base (Hollander & Wolfe 1973, p. 140), with ties: Friedman 11.1429, p .003805', () => {
  const times = [
    [5.4, 5.5, 5.55],
    [5.85, 5.7, 5.75],
    [5.2, 5.6, 5.5],
    [5.55, 5.5, 5.4],
    [5.9, 5.85, 5.7],
    [5.45, 5.55, 5.6],
    [5.4, 5.4, 5.35],
    [5.45, 5.5, 5.35],
    [5.25, 5.15, 5],
    [5.85, 5.8, 5.7],
    [5.25, 5.2, 5.1],
    [5.65, 5.55, 5.45],
    [5.6, 5.35, 5.45],
    [5.05, 5, 4.95],
    [5.5, 5.5, 5.4],
    [5.45, 5.55, 5.5],
    [5.55, 5.55, 5.35],
    [5.45, 5.5, 5.55],
    [5.5, 5.45, 5.25],
    [5.65, 5.6, 5.4],
    [5.7, 5.65, 5.55],
    [6.3, 6.3, 6.25],
  ];
  const rows = times.flatMap((row, b) =>
    ['round out', 'narrow', 'wide'].map((name, t) => [`player ${b + 1}`, name, row[t]]),
  );
  const got = judgedRows([['player', 'treatment', 'y'], ...rows], {
    ...valueFlags,
    block: 'player',
  });
  const { ranks } = outcomeOf(got, 'value-last');
  expect(ranks).toMatchObject({ test: 'friedman', df: 2 });
  near(ranks!.statistic, 11.1429, { abs: 1e-4 });
  near(ranks!.p, 0.003805, { abs: 1e-4 });
});

it('studentised range, 5 % points as the standard tables print them', () => {
  // k means and df of a layout without blocks; the tables' row for df = infinity needs no layout
  // and is held in stats.
  for (const [k, df, q] of [
    [3, 10, 3.877],
    [3, 12, 3.773],
    [4, 12, 4.199],
    [4, 20, 3.958],
    [5, 20, 4.232],
    [6, 30, 4.301],
  ] as const) {
    const rows = Array.from({ length: k + df }, (_, i) => [`T${i % k}`, 10 + ((i * 7) % 11)]);
    const outcome = outcomeOf(judgedRows([['treatment', 'y'], ...rows], valueFlags), 'value-last');
    expect(outcome.anova!.rows.find(({ source }) => source === 'residual')!.df).toBe(df);
    near(outcome.criticalValues!.studentizedRange, q, { abs: 0.001 });
  }
});

it('Latin square of lime sulphur (Finney 1947; R’s OrchardSprays): sums of squares, F 21.067', () => {
  const got = judgedFile(oracleInput('orchard-sprays'), {
    treatment: 'treatment',
    row: 'rowpos',
    column: 'colpos',
    value: 'decrease',
    control: 'H',
    outcome: 'value-last',
  });
  expect(got.design.kind).toBe('latin-square');
  const { anova, treatments } = outcomeOf(got, 'value-last');
  const row = (source: string) => anova!.rows.find((r) => r.source === source)!;
  near(row('row').ss, 4767.48, { abs: 0.01 });
  near(row('column').ss, 2807.23, { abs: 0.01 });
  near(row('treatment').ss, 56159.98, { abs: 0.01 });
  near(row('residual').ss, 15994.91, { abs: 0.01 });
  expect(row('treatment').df).toBe(7);
  expect(row('residual').df).toBe(42);
  near(row('treatment').f, 21.067, tol.printed(3));
  for (const [name, mean] of [
    ['A', 4.625],
    ['B', 7.625],
    ['C', 25.25],
    ['D', 35],
    ['E', 63.125],
    ['F', 69],
    ['G', 68.5],
    ['H', 90.25],
  ] as const) {
    near(named(treatments, name).mean, mean, tol.closedForm);
  }
});

it('AUDPC 23.75 and AUDPS 32.25 (APS teaching data; Simko & Piepho 2012)', () => {
  const rows = ['A', 'B'].flatMap((block) =>
    (
      [
        [0, 1],
        [2, 2],
        [5, 7],
        [6, 7.5],
      ] as const
    ).flatMap(([day, y]) => [
      [block, 'untreated', day, y],
      [block, 'copper', day, y / 2],
    ]),
  );
  const got = judgedRows([['block', 'treatment', 'day', 'severity'], ...rows], {
    treatment: 'treatment',
    block: 'block',
    date: 'day',
    severity: 'severity',
    control: 'untreated',
  });
  near(named(outcomeOf(got, 'audpc-severity').treatments, 'untreated').mean, 23.75, tol.closedForm);
  near(named(outcomeOf(got, 'audps-severity').treatments, 'untreated').mean, 32.25, tol.closedForm);
  near(
    named(outcomeOf(got, 'audpc-severity-standardised').treatments, 'untreated').mean,
    23.75 / 6,
    tol.closedForm,
  );
});

describe('efficacy (Abbott 1925; Henderson & Tilton 1955)', () => {
  // Two blocks a whisker apart, so that there is an error and the means are the printed ones.
  const rows = (day: string, control: number, treated: number) =>
    [-0.5, 0.5].flatMap((e, i) => [
      [`B${i}`, 'untreated', day, control + e],
      [`B${i}`, 'copper', day, treated + e / 2],
    ]);
  const flags = {
    treatment: 'treatment',
    block: 'block',
    date: 'day',
    severity: 'severity',
    control: 'untreated',
  } as const;

  it('control 60, treated 12: 80 %', () => {
    const got = judgedRows(
      [['block', 'treatment', 'day', 'severity'], ...rows('0', 60, 12)],
      flags,
    );
    near(named(outcomeOf(got, 'severity-last').efficacy, 'copper').percent, 80, tol.closedForm);
  });

  it('treated 50 then 8, control 60 then 90: 89.333 %', () => {
    const got = judgedRows(
      [['block', 'treatment', 'day', 'severity'], ...rows('0', 60, 50), ...rows('7', 90, 8)],
      { ...flags, baseline: 'severity-first', outcome: 'severity-last' },
    );
    const course = outcomeOf(got, 'severity-last').efficacy!.filter(
      ({ method }) => method === 'henderson-tilton',
    );
    near(named(course, 'copper').percent, 100 * (1 - (8 * 60) / (50 * 90)), tol.closedForm);
  });
});

it('downy mildew of grape (Hughes & Madden 1995): plot percent, block SS 28.9680, F 117.5448', () => {
  const got = judgedFile(oracleInput('hughes.grapes'), {
    treatment: 'trt',
    block: 'block',
    plant: 'vine,shoot',
    diseased: 'diseased',
    leaves: 'total',
    control: 'T1',
  });
  const { anova, treatments } = outcomeOf(got, 'incidence-last');
  const row = (source: string) => anova!.rows.find((r) => r.source === source)!;
  near(row('block').ss, 28.968, tol.printed(4));
  near(row('treatment').ss, 9452.8452, tol.printed(4));
  near(row('treatment').f, 117.5448, tol.printed(4));
  near(row('residual').ss, 160.8382, tol.printed(4));
  expect(row('residual').df).toBe(10);
  expect(treatments).toHaveLength(6);
});
