import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { tQuantile, tTwoSided } from '../distributions/student';
import { allPairs, versusControl } from './compare';
import { contrast, contrastCovariance } from './contrast';
import { crossFactors } from './design';
import { fitLinear } from './fit';
import type { LinearFit } from './fit';
import { leastSquaresMeans } from './lsmeans';

// The oracle's own tolerances: R's ptukey stops at 1e-6, its qtukey at about 1e-4 (half-widths to
// 2e-5 of their size); mvtnorm's quasi-random integrals near 5e-6 as called there, near 5e-7 with the
// 3e6 points of linear.R. The quantile mvtnorm gave (q95_pmvt) is not used: it is 8e-5 off R's own
// quadrature in rcbd_6x5.
const tol = {
  r: 1e-8,
  tukeyP: 1e-6,
  tukeyHalf: 2e-5,
  pmvt: 5e-6,
  manyPoints: 1e-6,
  quantileManyPoints: 1e-5,
  quadrature: 1e-8,
};

type Emm = { emmean: number; SE: number; df: number; 'lower.CL': number; 'upper.CL': number };
type Pair = {
  estimate: number;
  SE: number;
  'lower.CL'?: number;
  'upper.CL'?: number;
  't.ratio': number;
  'p.value': number;
};

function near(got: number | undefined, expected: number, relative = tol.r) {
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected)).toBeLessThanOrEqual(relative * Math.abs(expected) + 1e-10);
}

function within(got: number | undefined, expected: number, absolute: number) {
  expect(got).toBeDefined();
  expect(Math.abs(got! - expected)).toBeLessThanOrEqual(absolute);
}

function meansMatch(fit: LinearFit, name: string, expected: readonly Emm[]) {
  const lsm = leastSquaresMeans(fit, name);
  expected.forEach((row, i) => {
    near(lsm.means[i].estimate, row.emmean);
    near(lsm.means[i].se, row.SE);
    near(lsm.means[i].low, row['lower.CL']);
    near(lsm.means[i].high, row['upper.CL']);
    expect(lsm.means[i].df).toBe(row.df);
  });
  return lsm;
}

/** emmeans lists pairs as we do: the earlier level minus the later. */
function pairsMatch(lsm: ReturnType<typeof leastSquaresMeans>, expected: readonly Pair[]) {
  const { pairs } = allPairs(lsm);
  expect(pairs.length).toBe(expected.length);
  expected.forEach((row, i) => {
    near(pairs[i].difference, row.estimate);
    near(pairs[i].se, row.SE);
    near(pairs[i].t, row['t.ratio']);
    within(pairs[i].p, row['p.value'], tol.tukeyP);
    if (row['upper.CL'] === undefined || row['lower.CL'] === undefined) return;
    const half = (row['upper.CL'] - row['lower.CL']) / 2;
    within(pairs[i].low, row['lower.CL'], tol.tukeyHalf * half);
    within(pairs[i].high, row['upper.CL'], tol.tukeyHalf * half);
  });
}

const lost = (readAnswers('linear') as Record<string, unknown>).dunnett_missing as {
  name: string;
  p: number[];
  quantile: number;
}[];

describe.each(['rcbd_4x4', 'rcbd_6x5', 'rcbd_4x4_missing', 'rcbd_6x5_missing'])(
  'randomised blocks %s against emmeans 1.8.4 and mvtnorm 1.1-3',
  (name) => {
    const rows = readTable(name);
    const fit = fitLinear({
      y: numbersOf(rows, 'y'),
      terms: [factorOf(rows, 'block'), factorOf(rows, 'trt')],
    });
    const answers = readAnswers(`a_${name}`) as {
      lsmeans: Emm[];
      tukey_emmeans: Pair[];
      TukeyHSD: { diff: number; p: number }[] | null;
      dunnett: {
        table: Pair[];
        corr: number[][];
        p_pmvt: number[];
        p_quadrature: number[] | null;
        q95_quadrature: number | null;
      };
    };
    const lsm = leastSquaresMeans(fit, 'trt');
    const dunnett = versusControl(lsm, 0);

    it('least-squares means', () => {
      meansMatch(fit, 'trt', answers.lsmeans);
    });

    it('Tukey-Kramer pairs', () => pairsMatch(lsm, answers.tukey_emmeans));

    it('differences from the control and their correlation', () => {
      const { comparisons, correlation } = dunnett;
      answers.dunnett.table.forEach((row, i) => {
        near(comparisons[i].difference, row.estimate);
        near(comparisons[i].se, row.SE);
        near(comparisons[i].t, row['t.ratio']);
        answers.dunnett.corr[i].forEach((r, j) => near(correlation[i][j], r));
      });
    });

    it('Dunnett p and quantile', () => {
      const { comparisons, quantile } = dunnett;
      const { p_pmvt, p_quadrature, q95_quadrature } = answers.dunnett;
      comparisons.forEach(({ p, low, high, difference, se }, i) => {
        if (p_quadrature) within(p, p_quadrature[i], tol.quadrature);
        within(p, p_pmvt[i], tol.pmvt);
        near(low, difference! - quantile! * se!);
        near(high, difference! + quantile! * se!);
      });
      if (q95_quadrature !== null) near(quantile, q95_quadrature, tol.quadrature);
      const missing = lost.find((row) => row.name === name);
      missing?.p.forEach((p, i) => within(comparisons[i].p, p, tol.manyPoints));
      if (missing) within(quantile, missing.quantile, tol.quantileManyPoints);
    });
  },
);

describe('published and open data', () => {
  const open = readAnswers('linear') as Record<string, Record<string, unknown>>;

  it('Dunnett 1955: statistics 0.857, 3.694; p .620, .0059; intervals (-1.26, 2.56), (0.84, 4.42)', () => {
    const y = [
      7.4, 8.5, 7.2, 8.24, 9.84, 8.32, 9.76, 8.8, 7.68, 9.36, 12.8, 9.68, 12.16, 9.2, 10.55,
    ];
    const codes = y.map((_, i) => (i < 6 ? 0 : i < 10 ? 1 : 2));
    const group = { kind: 'factor', name: 'group', codes, levels: ['control', 'A', 'B'] } as const;
    const result = versusControl(leastSquaresMeans(fitLinear({ y, terms: [group] }), 'group'), 0);
    const printed = [
      { t: 0.857, p: 0.62, low: -1.26, high: 2.56 },
      { t: 3.694, p: 0.0059, low: 0.84, high: 4.42 },
    ];
    // R: double integral over the shared normal and the scale (linear.R).
    const r = open.dunnett_1955 as { p: number[]; quantile: number; low: number[]; high: number[] };
    printed.forEach((row, i) => {
      const got = result.comparisons[i];
      within(got.t, row.t, 5e-4);
      within(got.p, row.p, 5e-4);
      within(got.low, row.low, 5e-3);
      within(got.high, row.high, 5e-3);
      within(got.p, r.p[i], tol.quadrature);
      near(got.low, r.low[i]);
      near(got.high, r.high[i]);
    });
    near(result.quantile, r.quantile);
  });

  it('plant weights, Dobson 1983: Tukey p .3909, .1980, .0120', () => {
    const rows = readTable('plant-growth');
    const fit = fitLinear({ y: numbersOf(rows, 'weight'), terms: [factorOf(rows, 'group')] });
    const lsm = leastSquaresMeans(fit, 'group');
    pairsMatch(lsm, open.plant_growth.tukey as Pair[]);
    [0.3909, 0.198, 0.012].forEach((p, i) => within(allPairs(lsm).pairs[i].p, p, 5e-5));
  });

  it('adjusted for a baseline (j_ancova)', () => {
    const rows = readTable('ancova_4x5');
    const base = { kind: 'covariate', name: 'base', values: numbersOf(rows, 'base') } as const;
    const terms = [factorOf(rows, 'block'), base, factorOf(rows, 'trt')];
    const fit = fitLinear({ y: numbersOf(rows, 'y'), terms });
    const answers = readAnswers('j_ancova') as { adj_means: Emm[]; pairs_tukey: Pair[] };
    pairsMatch(meansMatch(fit, 'trt', answers.adj_means), answers.pairs_tukey);
  });

  it('unequal replication with a baseline, Cochran & Cox 1950 table 3.1', () => {
    const rows = readTable('cochran.eelworms');
    const labels = rows.map((row) =>
      row.fumigant === 'Con' ? 'Con' : `${row.fumigant}${row.dose}`,
    );
    const values = numbersOf(rows, 'initial').map(Math.log);
    const base = { kind: 'covariate', name: 'base', values } as const;
    const terms = [factorOf(rows, 'block'), base, factorFrom('trt', labels)];
    const fit = fitLinear({ y: numbersOf(rows, 'final').map(Math.log), terms });
    meansMatch(fit, 'trt', open.cochran_eelworms.means as Emm[]);
  });

  it('means of the cells of a factorial (npk)', () => {
    const rows = readTable('npk');
    // R's order: N runs fastest.
    const cells = crossFactors('NK', factorOf(rows, 'K'), factorOf(rows, 'N'));
    const fit = fitLinear({ y: numbersOf(rows, 'yield'), terms: [factorOf(rows, 'block'), cells] });
    const answers = readAnswers('a_npk_factorial') as { emm_NK: Emm[]; pairs_tukey: Pair[] };
    pairsMatch(meansMatch(fit, 'NK', answers.emm_NK), answers.pairs_tukey);
  });

  it('a main effect averaged over its own interaction is refused', () => {
    const rows = readTable('npk');
    const [n, k] = [factorOf(rows, 'N'), factorOf(rows, 'K')];
    const terms = [factorOf(rows, 'block'), n, k, crossFactors('N:K', n, k)];
    const lsm = leastSquaresMeans(fitLinear({ y: numbersOf(rows, 'yield'), terms }), 'N');
    expect(lsm.means.map(({ why }) => why)).toEqual(['not-estimable', 'not-estimable']);
  });
});

describe('a layout in two halves that share no treatment, against emmeans', () => {
  const y = [12.1, 9.4, 14, 10.9, 8.2, 7.7, 9.9, 8];
  const block = factorFrom('block', ['1', '1', '2', '2', '3', '3', '4', '4']);
  const trt = factorFrom('trt', ['A', 'B', 'A', 'B', 'C', 'D', 'C', 'D']);
  const fit = fitLinear({ y, terms: [block, trt] });
  const lsm = leastSquaresMeans(fit, 'trt');
  const r = (readAnswers('linear') as Record<string, unknown>).disconnected as {
    rank: number;
    df: number;
    sigma: number;
    estimate: (number | null)[];
    se: (number | null)[];
  };

  it('names the effect that cannot be parted', () => {
    expect(fit.rank).toBe(r.rank);
    expect(fit.spread).toMatchObject({ known: true, df: r.df });
    expect(fit.aliased).toEqual([{ term: 'trt', level: 'D' }]);
  });

  it('leaves the means open but gives the differences inside a half', () => {
    expect(lsm.means.map(({ why }) => why)).toEqual(Array(4).fill('not-estimable'));
    expect(lsm.unscaled[0][0]).toBeUndefined();
    allPairs(lsm).pairs.forEach((pair, i) => {
      const estimate = r.estimate[i];
      if (estimate === null) {
        expect(pair).toMatchObject({ difference: undefined, p: undefined, why: 'not-estimable' });
      } else {
        near(pair.difference, estimate);
        near(pair.se, r.se[i]!);
      }
    });
  });

  it('compares with the control only what can be compared', () => {
    const { comparisons, correlation } = versusControl(lsm, 0);
    expect(correlation).toEqual([[1]]);
    // One comparison alone: Dunnett's p is the plain t test's.
    within(comparisons[0].p, tTwoSided(comparisons[0].t!, r.df), 1e-10);
    expect(comparisons[1]).toMatchObject({ difference: undefined, p: undefined, low: undefined });
  });
});

describe('two roads and missing error', () => {
  const rows = readTable('rcbd_6x5_missing');
  const fit = fitLinear({
    y: numbersOf(rows, 'y'),
    terms: [factorOf(rows, 'block'), factorOf(rows, 'trt')],
  });
  const lsm = leastSquaresMeans(fit, 'trt');

  it('a difference has the variance its two means give it', () => {
    if (!fit.spread.known) throw new Error('spread');
    const at = (i: number, j: number) => lsm.unscaled[i][j]!;
    for (const { a, b, difference, se } of allPairs(lsm).pairs) {
      near(difference, lsm.means[a].estimate! - lsm.means[b].estimate!);
      near(se, fit.spread.sd * Math.sqrt(at(a, a) + at(b, b) - 2 * at(a, b)));
    }
  });

  it('contrasts and their covariance agree with the means', () => {
    if (!fit.spread.known) throw new Error('spread');
    const third = { intercept: 1, terms: { block: Array(5).fill(0.2), trt: [0, 0, 1, 0, 0, 0] } };
    const first = { intercept: 1, terms: { block: Array(5).fill(0.2), trt: [1, 0, 0, 0, 0, 0] } };
    near(contrast(fit, third).estimate, lsm.means[2].estimate!);
    near(contrastCovariance(fit, first, third), lsm.unscaled[0][2]! * fit.spread.ms);
  });

  it('with two treatments Dunnett, Tukey and t are one test', () => {
    const two = fitLinear({
      y: [3.1, 4.7, 2.2, 4.1, 3.9, 5.8],
      terms: [factorFrom('trt', ['A', 'B', 'A', 'B', 'A', 'B'])],
    });
    const means = leastSquaresMeans(two, 'trt');
    const [dunnett] = versusControl(means, 0).comparisons;
    const [tukey] = allPairs(means).pairs;
    const p = tTwoSided(dunnett.t!, 4);
    const half = tQuantile(0.975, 4) * dunnett.se!;
    within(dunnett.p, p, 1e-9);
    within(tukey.p, p, 1e-9);
    near(dunnett.high, dunnett.difference! + half);
    near(tukey.high, tukey.difference! + half);
  });

  it('without error: differences, but no se, p or interval', () => {
    const alone = fitLinear({ y: [40, 10], terms: [factorFrom('trt', ['A', 'B'])] });
    const means = leastSquaresMeans(alone, 'trt');
    near(means.means[0].estimate, 40);
    expect(means.means[0]).toMatchObject({ se: undefined, why: 'no-residual-df' });
    const nothing = { se: undefined, t: undefined, p: undefined, low: undefined, high: undefined };
    const [lower] = versusControl(means, 0).comparisons;
    near(lower.difference, -30);
    expect(lower).toMatchObject({ a: 1, b: 0, ...nothing, why: 'no-residual-df' });
    const [higher] = allPairs(means).pairs;
    near(higher.difference, 30);
    expect(higher).toMatchObject({ a: 0, b: 1, ...nothing });
    expect(versusControl(means, 0).quantile).toBeUndefined();
  });

  it('a level without plots is named and takes no part', () => {
    const codes = [0, 0, 1, 1];
    const trt = { kind: 'factor', name: 'trt', codes, levels: ['A', 'B', 'lost'] } as const;
    const means = leastSquaresMeans(fitLinear({ y: [1, 2, 4, 6], terms: [trt] }), 'trt');
    expect(means.means[2]).toMatchObject({ plots: 0, estimate: undefined, why: 'no-observations' });
    expect(allPairs(means).levels).toBe(2);
    expect(versusControl(means, 2).comparisons.every(({ why }) => why === 'no-observations')).toBe(
      true,
    );
  });
});
