import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { contrast, contrastCovariance, slope } from './contrast';
import { crossFactors } from './design';
import type { Covariate, Factor } from './design';
import { adjustedRow, fitLinear } from './fit';
import type { AnovaRow } from './fit';
import { leastSquaresMeans } from './lsmeans';

// R's double arithmetic and ours differ in the last digits; the oracle's own tolerance is 1e-8.
const tol = { r: 1e-9, own: 1e-10, printed: (digits: number) => 0.5 * 10 ** -digits };

type RRow = {
  term: string;
  df: number;
  ss: number;
  F?: number | null;
  f?: number | null;
  p: number | null;
};

function near(got: number | undefined, expected: number, relative = tol.r) {
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected)).toBeLessThanOrEqual(
    relative * Math.max(Math.abs(expected), 1e-3),
  );
}

function matches(rows: readonly AnovaRow[], expected: readonly RRow[]) {
  expect(rows.length).toBe(expected.length);
  expected.forEach((row, i) => {
    expect(rows[i].df).toBe(row.df);
    near(rows[i].ss, row.ss);
    const f = row.F ?? row.f;
    if (f === null || f === undefined) {
      expect(rows[i].f).toBeUndefined();
      return;
    }
    near(rows[i].f, f);
    // Relative, however small: these p reach 1e-20.
    expect(Math.abs(rows[i].p! / row.p! - 1)).toBeLessThan(tol.r);
  });
}

const factor = (name: string, codes: number[], levels: string[]): Factor => ({
  kind: 'factor',
  name,
  codes,
  levels,
});
const covariate = (name: string, values: number[]): Covariate => ({
  kind: 'covariate',
  name,
  values,
});

describe.each(['rcbd_4x4', 'rcbd_6x5', 'rcbd_4x4_missing', 'rcbd_6x5_missing'])(
  'randomised blocks %s against R lm, emmeans (R 4.2.2)',
  (name) => {
    const rows = readTable(name);
    const fit = fitLinear({
      y: numbersOf(rows, 'y'),
      terms: [factorOf(rows, 'block'), factorOf(rows, 'trt')],
    });
    const answers = readAnswers(`a_${name}`) as {
      anova: RRow[];
      trt_adjusted_F: { df1: number; df2: number; ss: number; F: number; p: number };
      sigma: number;
      contrasts: {
        contrast: string;
        estimate: number;
        SE: number;
        't.ratio': number;
        'p.value': number;
        'lower.CL': number;
        'upper.CL': number;
      }[];
    };

    it('gives the anova, the residual sd and the adjusted F', () => {
      matches(fit.anova, answers.anova);
      expect(fit.spread.known && fit.spread.sd).toBeCloseTo(answers.sigma, 10);
      const adjusted = adjustedRow(fit, 'trt');
      near(adjusted.ss, answers.trt_adjusted_F.ss);
      near(adjusted.f, answers.trt_adjusted_F.F);
      near(adjusted.p, answers.trt_adjusted_F.p);
    });

    it('gives any contrast with its standard error, t, p and interval', () => {
      const t = fit.design.terms[1].counts.length;
      const rest = Array.from({ length: t }, (_, i) => (i === 0 ? 1 : -1 / (t - 1)));
      const expected = answers.contrasts.find((row) => row.contrast === 'ctrl_vs_rest')!;
      const got = contrast(fit, { intercept: 0, terms: { trt: rest } });
      near(got.estimate, expected.estimate);
      near(got.se, expected.SE);
      near(got.t, expected['t.ratio']);
      near(got.p, expected['p.value']);
      near(got.low, expected['lower.CL']);
      near(got.high, expected['upper.CL']);
    });

    it('adjusts the first term too: the same as when it is put last', () => {
      const reversed = fitLinear({
        y: numbersOf(rows, 'y'),
        terms: [factorOf(rows, 'trt'), factorOf(rows, 'block')],
      });
      near(adjustedRow(fit, 'block').ss, reversed.anova[1].ss, tol.own);
      near(adjustedRow(fit, 'block').f, reversed.anova[1].f!, tol.own);
    });
  },
);

describe('other layouts against R lm (R 4.2.2)', () => {
  const open = readAnswers('linear') as Record<string, { anova: RRow[]; anova_root?: RRow[] }>;

  it('a 2 x 2 x 2 factorial in blocks of four, one interaction confounded (npk, Yates 1937)', () => {
    const rows = readTable('npk');
    const [n, p, k] = ['N', 'P', 'K'].map((name) => factorOf(rows, name));
    const terms = [
      factorOf(rows, 'block'),
      n,
      p,
      k,
      crossFactors('N:P', n, p),
      crossFactors('N:K', n, k),
      crossFactors('P:K', p, k),
    ];
    const fit = fitLinear({ y: numbersOf(rows, 'yield'), terms });
    matches(fit.anova, (readAnswers('a_npk_factorial') as { anova: RRow[] }).anova);
    // The three-way interaction lies in the blocks: nothing of it is left.
    const whole = crossFactors('N:P:K', crossFactors('NP', n, p), k);
    const last = fitLinear({ y: numbersOf(rows, 'yield'), terms: [...terms, whole] }).anova.at(-2);
    expect(last).toMatchObject({ source: 'N:P:K', df: 0, ss: 0, f: undefined, p: undefined });
  });

  it('a Latin square, Goulden 1952 p. 216: row SS 46.668, column 14.020, treatment 196.608', () => {
    const rows = readTable('goulden.latin');
    const terms = ['row', 'col', 'trt'].map((name) => factorOf(rows, name));
    const fit = fitLinear({ y: numbersOf(rows, 'yield'), terms });
    matches(fit.anova, open.goulden_latin.anova);
    const printed = [46.668, 14.02, 196.608, 28.044];
    printed.forEach((ss, i) => expect(fit.anova[i].ss).toBeCloseTo(ss, 6));
  });

  it('an 8 x 8 Latin square, Finney 1947: treatment SS 56159.98, F 21.067', () => {
    const rows = readTable('orchard-sprays');
    const terms = ['rowpos', 'colpos', 'treatment'].map((name) => factorOf(rows, name));
    const fit = fitLinear({ y: numbersOf(rows, 'decrease'), terms });
    matches(fit.anova, open.orchard_sprays.anova);
    expect(Math.abs(fit.anova[2].ss - 56159.98)).toBeLessThan(0.01);
    expect(Math.abs(fit.anova[2].f! - 21.067)).toBeLessThan(tol.printed(3));
    const means = leastSquaresMeans(fit, 'treatment').means.map(({ estimate }) => estimate!);
    [4.625, 7.625, 25.25, 35, 63.125, 69, 68.5, 90.25].forEach((mean, i) => near(means[i], mean));
  });

  it('percent diseased of grape plots, Hughes & Madden 1995: treatment F 117.5448', () => {
    const rows = readTable('hughes.grapes');
    const plots = [...new Set(rows.map((row) => `${row.block},${row.trt}`))];
    const percent = plots.map((plot) => {
      const own = rows.filter((row) => `${row.block},${row.trt}` === plot);
      const total = (name: string) => numbersOf(own, name).reduce((a, b) => a + b);
      return (100 * total('diseased')) / total('total');
    });
    const terms = [0, 1].map((i) =>
      factorFrom(
        ['block', 'trt'][i],
        plots.map((plot) => plot.split(',')[i]),
      ),
    );
    const fit = fitLinear({ y: percent, terms });
    matches(fit.anova, open.hughes_grapes.anova);
    expect(Math.abs(fit.anova[1].f! - 117.5448)).toBeLessThan(tol.printed(4));
  });

  it('one factor, counts and their roots, Beall 1942: F 34.702 and 44.799', () => {
    const rows = readTable('insect-sprays');
    const terms = [factorOf(rows, 'spray')];
    const counts = numbersOf(rows, 'count');
    matches(fitLinear({ y: counts, terms }).anova, open.insect_sprays.anova);
    matches(fitLinear({ y: counts.map(Math.sqrt), terms }).anova, open.insect_sprays.anova_root!);
  });

  it('blocks of rice at six seed rates, Gomez & Gomez 1984: rate F 2.16778', () => {
    const rows = readTable('gomez.seedrate');
    const fit = fitLinear({
      y: numbersOf(rows, 'yield'),
      terms: [factorOf(rows, 'rep'), factorOf(rows, 'rate')],
    });
    matches(fit.anova, open.gomez_seedrate.anova);
    expect(Math.abs(fit.anova[1].f! - 2.16778)).toBeLessThan(tol.printed(5));
  });

  it('plant weights, Dobson 1983: F 4.8461, p 0.01591', () => {
    const rows = readTable('plant-growth');
    const fit = fitLinear({ y: numbersOf(rows, 'weight'), terms: [factorOf(rows, 'group')] });
    matches(fit.anova, open.plant_growth.anova);
    expect(Math.abs(fit.anova[0].p! - 0.01591)).toBeLessThan(tol.printed(5));
  });
});

describe('analysis of covariance against R lm (R 4.2.2)', () => {
  it('blocks, baseline and treatment', () => {
    const rows = readTable('ancova_4x5');
    const terms = [
      factorOf(rows, 'block'),
      covariate('base', numbersOf(rows, 'base')),
      factorOf(rows, 'trt'),
    ];
    const fit = fitLinear({ y: numbersOf(rows, 'y'), terms });
    const answers = readAnswers('j_ancova') as {
      anova: RRow[];
      coef: Record<string, number>;
      se: Record<string, number>;
    };
    matches(fit.anova, answers.anova);
    const got = slope(fit, 'base');
    near(got.estimate, answers.coef.base);
    near(got.se, answers.se.base);
    const difference = contrast(fit, { intercept: 0, terms: { trt: [-1, 1, 0, 0] } });
    near(difference.estimate, answers.coef.trtB);
    near(difference.se, answers.se.trtB);
  });

  it('unequal replication, Cochran & Cox 1950 table 3.1: F 4.7067, slope .585398', () => {
    const rows = readTable('cochran.eelworms');
    const labels = rows.map((row) =>
      row.fumigant === 'Con' ? 'Con' : `${row.fumigant}${row.dose}`,
    );
    const base = numbersOf(rows, 'initial').map(Math.log);
    const terms = [factorOf(rows, 'block'), covariate('base', base), factorFrom('trt', labels)];
    const fit = fitLinear({ y: numbersOf(rows, 'final').map(Math.log), terms });
    const answers = (readAnswers('linear') as Record<string, unknown>).cochran_eelworms as {
      anova: RRow[];
      slope: number;
      slope_se: number;
      block_adjusted_f: number;
      base_adjusted_f: number;
    };
    matches(fit.anova, answers.anova);
    near(slope(fit, 'base').estimate, answers.slope);
    near(slope(fit, 'base').se, answers.slope_se);
    near(adjustedRow(fit, 'block').f, answers.block_adjusted_f);
    near(adjustedRow(fit, 'base').f, answers.base_adjusted_f);
    expect(Math.abs(fit.anova[2].f! - 4.7067)).toBeLessThan(tol.printed(4));
    expect(Math.abs(slope(fit, 'base').estimate! - 0.585398)).toBeLessThan(tol.printed(6));
  });
});

describe('what cannot be known is said, never guessed', () => {
  const blocks = factor('block', [0, 0, 0, 1, 1, 1, 2, 2, 2], ['1', '2', '3']);
  const trt = factor('trt', [0, 1, 2, 0, 1, 2, 0, 1, 2], ['A', 'B', 'C']);
  const terms = [blocks, trt];

  it.each([
    ['zeros', Array.from({ length: 9 }, () => 0)],
    ['one value', Array.from({ length: 9 }, () => 0.1)],
    [
      'one value by different sums',
      [0.3, 0.1 + 0.2, 0.3, 0.1 + 0.2, 0.3, 0.3, 0.6 - 0.3, 0.3, 0.9 / 3],
    ],
    ['one large value with rounding', Array.from({ length: 9 }, (_, i) => 1e6 / 3 + i * 1e-9)],
  ])('no variation at all: %s', (_, y) => {
    const fit = fitLinear({ y, terms });
    expect(fit.spread).toEqual({ known: false, df: 4, why: 'no-variation' });
    for (const row of fit.anova) {
      expect(row.ss).toBe(0);
      expect(row.f).toBeUndefined();
      expect(row.p).toBeUndefined();
    }
    const mean = leastSquaresMeans(fit, 'trt').means[0];
    near(mean.estimate, y[0]);
    expect(mean).toMatchObject({
      se: undefined,
      p: undefined,
      low: undefined,
      why: 'no-variation',
    });
  });

  it('a perfect fit has no error to judge by, though the treatments differ', () => {
    const y = [0, 1, 2].flatMap((b) => [0, 1, 2].map((t) => 0.1 * b + [1.7, 0.9, 0.3][t]));
    const fit = fitLinear({ y, terms });
    expect(fit.spread).toEqual({ known: false, df: 4, why: 'perfect-fit' });
    expect(fit.anova[1]).toMatchObject({ df: 2, f: undefined, p: undefined });
    near(fit.anova[1].ss, 3 * (1.7 ** 2 + 0.9 ** 2 + 0.3 ** 2 - (2.9 * 2.9) / 3));
  });

  it('small real variation beside a large mean is kept', () => {
    const y = [3, 1, 4, 1, 5, 9, 2, 6, 5].map((value) => 1e6 + value / 1000);
    const fit = fitLinear({ y, terms });
    const small = fitLinear({ y: [3, 1, 4, 1, 5, 9, 2, 6, 5], terms });
    near(fit.anova[1].f, small.anova[1].f!, 1e-6);
  });

  it('one plot for each treatment leaves no error', () => {
    const fit = fitLinear({ y: [4, 7, 1], terms: [factor('trt', [0, 1, 2], ['A', 'B', 'C'])] });
    expect(fit.spread).toEqual({ known: false, df: 0, why: 'no-residual-df' });
    expect(fit.anova[0]).toMatchObject({ df: 2, ss: 18, f: undefined, p: undefined });
    expect(fit.anova[1]).toMatchObject({ source: 'residual', df: 0, ss: 0, ms: undefined });
  });

  it('names what repeats earlier terms and what is empty', () => {
    const bed = factor('bed', [0, 0, 0, 1, 1, 1, 1, 1, 1], ['north', 'south']);
    const lost = factor('trt', trt.codes as number[], ['A', 'B', 'C', 'lost']);
    const same = covariate(
      'slope',
      Array.from({ length: 9 }, () => 0.1),
    );
    const fit = fitLinear({ y: [3, 1, 4, 1, 5, 9, 2, 6, 5], terms: [blocks, bed, lost, same] });
    expect(fit.aliased).toEqual([
      { term: 'bed', level: 'south' },
      { term: 'slope', level: undefined },
    ]);
    expect(fit.emptyLevels).toEqual([{ term: 'trt', level: 'lost' }]);
    expect(fit.anova.map(({ df }) => df)).toEqual([2, 0, 2, 0, 4]);
    expect(slope(fit, 'slope')).toMatchObject({ estimate: undefined, why: 'not-estimable' });
  });

  it('a weight that does not add up, or falls on an empty level, estimates nothing', () => {
    const lost = factor('trt', trt.codes as number[], ['A', 'B', 'C', 'lost']);
    const fit = fitLinear({ y: [3, 1, 4, 1, 5, 9, 2, 6, 5], terms: [blocks, lost] });
    const weights = (trt: number[]) => ({ intercept: 0, terms: { trt } });
    expect(contrast(fit, weights([1, 0, 0, 0])).why).toBe('not-estimable');
    expect(contrast(fit, weights([1, 0, 0, -1])).why).toBe('no-observations');
    expect(contrast(fit, weights([1, -1, 0, 0])).estimate).toBeCloseTo(2 - 4, 12);
    expect(contrastCovariance(fit, weights([1, -1, 0, 0]), weights([1, 0, 0, -1]))).toBeUndefined();
  });

  it('refuses what is no data, by name', () => {
    expect(() => fitLinear({ y: [], terms: [] })).toThrow('y must hold at least 1 value; got 0');
    expect(() => fitLinear({ y: [1, NaN], terms: [] })).toThrow('got NaN for value 1');
    expect(() => fitLinear({ y: [1], terms: [trt] })).toThrow('trt must have 1 entries; got 9');
    expect(() => fitLinear({ y: [1], terms: [factor('trt', [2], ['A'])] })).toThrow('codes of trt');
    expect(() => fitLinear({ y: [1], terms: [covariate('base', [Infinity])] })).toThrow('base');
  });
});
