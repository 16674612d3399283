import { describe, expect, it } from 'vitest';
import { factorFrom, factorOf, numbersOf, readAnswers, readTable } from '../../oracle/read';
import { versusControl } from '../linear/compare';
import { fitLinear } from '../linear/fit';
import { leastSquaresMeans } from '../linear/lsmeans';
import { createRandom } from '../random';
import { dunnett, dunnettUpper } from './dunnett';
import { factorForm } from './factor-form';
import { normalUpper } from './normal';
import { studentizedRangeUpper } from './studentized-range';
import { symmetricEigen } from './symmetric-eigen';

// oracle/R/dunnett-general.R: R 4.2.2, mvtnorm 1.1-3, 2026-11-25. p_grid is the exact factors of the
// design integrated on a full grid; p_pmvt has the error R states beside it.
const answers = readAnswers('dunnett-general') as {
  designs: {
    name: string;
    corr: number[][];
    df: number;
    t: number[];
    p_grid?: number[];
    p_pmvt?: number[];
    error_pmvt?: number[];
  }[];
  random: {
    corr: number[][];
    df: number;
    t: number[];
    p_miwa_normal: number[] | null;
    p_pmvt: number[];
    error_pmvt: number[];
  }[];
};

const tol = {
  /** The stated error of designs in blocks with few further factors. */
  factors: 1e-6,
  /** Of the grid in R. */
  grid: 1e-9,
  /** Nineteen in incomplete blocks have fourteen factors. */
  incomplete: 1e-4,
  /** What is stated at worst before a bound is given instead. */
  stated: 3e-3,
  /** What is found beside R: the error stated is six standard errors, hence far wider. */
  random: 1e-4,
  /** R's own Miwa at 256 steps. */
  miwa: 1e-6,
  rounding: 1e-12,
  correlation: 1e-8,
  quantile: 1e-10,
};

describe('designs with covariates, lost plots and incomplete blocks, against R', () => {
  for (const { name, corr, df, t, p_grid, p_pmvt, error_pmvt } of answers.designs) {
    it(name, () => {
      const { route, upper, quantile } = dunnett(corr, df);
      // Three contrasts always have product structure.
      expect(route).toBe(corr.length === 3 ? 'product' : 'factors');
      t.forEach((value, i) => {
        const got = upper(value);
        expect(got.error).toBeLessThan(
          p_grid || !name.includes('fifteen') ? tol.factors : tol.incomplete,
        );
        if (p_grid) expect(Math.abs(got.p - p_grid[i])).toBeLessThan(got.error + tol.grid);
        if (p_pmvt && error_pmvt) {
          expect(Math.abs(got.p - p_pmvt[i])).toBeLessThan(got.error + error_pmvt[i]);
        }
      });
      const q = quantile(0.95);
      expect(Math.abs(upper(q).p - 0.05)).toBeLessThan(tol.quantile);
    });
  }
});

describe('correlations drawn at random, against R', () => {
  for (const { corr, df, t, p_miwa_normal, p_pmvt, error_pmvt } of answers.random) {
    it(`${corr.length} contrasts, within the error stated`, () => {
      const { upper } = dunnett(corr, df);
      t.forEach((value, i) => {
        const got = upper(value);
        expect(got.route).not.toBe('bound');
        expect(got.error).toBeLessThan(tol.stated);
        expect(Math.abs(got.p - p_pmvt[i])).toBeLessThan(got.error + error_pmvt[i]);
        expect(Math.abs(got.p - p_pmvt[i])).toBeLessThan(tol.random + error_pmvt[i]);
      });
      const normal = p_miwa_normal && dunnett(corr, Infinity);
      p_miwa_normal?.forEach((p, i) => {
        const got = normal?.upper(t[i]);
        expect(got).toBeDefined();
        if (got) expect(Math.abs(got.p - p)).toBeLessThan(got.error + tol.miwa);
      });
    });
  }
});

describe('comparisons with the control of a linear model', () => {
  it('gives the correlations of an analysis of covariance, exactly integrated', () => {
    const rows = readTable('ancova_4x5');
    const base = { kind: 'covariate', name: 'base', values: numbersOf(rows, 'base') } as const;
    const fit = fitLinear({
      y: numbersOf(rows, 'y'),
      terms: [factorOf(rows, 'block'), base, factorOf(rows, 'trt')],
    });
    const { correlation, method } = versusControl(leastSquaresMeans(fit, 'trt'), 0);
    const { corr } = answers.designs.filter(({ name }) => name === 'ancova_4x5')[0];
    correlation.forEach((row, i) =>
      row.forEach((r, j) => expect(Math.abs(r - corr[i][j])).toBeLessThan(tol.correlation)),
    );
    expect(method).toBe('exact');
  });

  it('judges twenty treatments with lost plots', () => {
    const plots = Array.from({ length: 80 }, (_, i) => i).filter(
      (i) => ![1, 26, 49, 70, 74].includes(i),
    );
    const fit = fitLinear({
      y: plots.map((i) => ((i + 1) * (i + 1)) % 17),
      terms: [
        factorFrom(
          'block',
          plots.map((i) => `B${Math.floor(i / 20)}`),
        ),
        factorFrom(
          'trt',
          plots.map((i) => `T${String((i % 20) + 1).padStart(2, '0')}`),
        ),
      ],
    });
    const { comparisons, method, correlation } = versusControl(leastSquaresMeans(fit, 'trt'), 0);
    const { corr } = answers.designs.filter(({ name }) => name.endsWith('five plots lost'))[0];
    correlation.forEach((row, i) =>
      row.forEach((r, j) => expect(Math.abs(r - corr[i][j])).toBeLessThan(tol.correlation)),
    );
    expect(method).toBe('exact');
    expect(comparisons.every(({ p }) => p !== undefined && p >= 0 && p <= 1)).toBe(true);
  });
});

/** Correlation of m random vectors of `length`; singular when that is below m. */
function randomCorrelation(m: number, length: number, seed: number): number[][] {
  const random = createRandom(seed);
  const rows = Array.from({ length: m }, () =>
    Array.from({ length }, () => random.uniform() - 0.5),
  );
  const sizes = rows.map((row) => Math.hypot(...row));
  return rows.map((a, i) =>
    rows.map((b, j) =>
      i === j ? 1 : a.reduce((sum, x, k) => sum + x * b[k], 0) / (sizes[i] * sizes[j]),
    ),
  );
}

describe('any valid correlation matrix gets an answer', () => {
  const between = (correlation: number[][], df: number) => {
    const m = correlation.length;
    const got = dunnett(correlation, df).upper(2.9);
    const alone = dunnettUpper(2.9, [[1]], df);
    const independent = -Math.expm1(m * Math.log1p(-2 * normalUpper(2.9)));
    expect(got.p).toBeGreaterThan(alone);
    // Sidak 1967: independence is the worst case.
    if (df === Infinity) expect(got.p).toBeLessThanOrEqual(independent + got.error);
    return got;
  };

  it('a singular matrix: every pair of four means', () => {
    // (a-b, a-c, a-d, b-c, b-d, c-d): the studentised range, P(q_4 > 2.9 sqrt 2) on normal errors.
    const pairs = [0, 1, 2, 3].flatMap((a) => [0, 1, 2, 3].filter((b) => b > a).map((b) => [a, b]));
    const sign = ([a, b]: number[], k: number) => (k === a ? 1 : k === b ? -1 : 0);
    const correlation = pairs.map((p) =>
      pairs.map((q) => [0, 1, 2, 3].reduce((sum, k) => sum + sign(p, k) * sign(q, k), 0) / 2),
    );
    const got = between(correlation, Infinity);
    const exact = studentizedRangeUpper(2.9 * Math.SQRT2, 4, Infinity);
    expect(Math.abs(got.p - exact)).toBeLessThan(got.error);
  });

  it('a hundred contrasts of few and of many dimensions, as a bound where nothing better is in reach', () => {
    expect(between(randomCorrelation(100, 130, 5), Infinity).p).toBeLessThan(0.4);
    expect(between(randomCorrelation(100, 20, 6), Infinity).p).toBeLessThan(0.4);
    expect(between(randomCorrelation(40, 45, 7), 12).p).toBeLessThan(1);
  });

  it('contrasts nearly alike', () => {
    const near = [0.99999, 0.9999, 0.999, 0.5];
    const correlation = near.map((a, i) => near.map((b, j) => (i === j ? 1 : a * b)));
    between(correlation, Infinity);
  });
});

describe('factors of a correlation matrix', () => {
  it('give the matrix back, and no more of them than made it', () => {
    const first = [0.7, 0.6, 0.8, 0.65, 0.7, 0.5, 0.6];
    const second = [0.3, -0.2, 0.1, -0.3, 0.2, 0.1, -0.1];
    const correlation = first.map((a, i) =>
      first.map((b, j) => (i === j ? 1 : a * b + second[i] * second[j])),
    );
    const form = factorForm(correlation);
    expect(form?.factors.length).toBe(2);
    expect(form?.miss).toBeLessThan(1e-8);
    form?.unique.forEach((u, i) => {
      const whole = u + form.factors.reduce((sum, f) => sum + f[i] * f[i], 0);
      expect(Math.abs(whole - 1)).toBeLessThan(tol.rounding);
      expect(Math.abs(u - (1 - first[i] ** 2 - second[i] ** 2))).toBeLessThan(1e-6);
    });
  });

  it('eigenvectors turn a matrix into its eigenvalues', () => {
    const m = 6;
    const correlation = randomCorrelation(m, 9, 3);
    const { values, vectors } = symmetricEigen(Float64Array.from(correlation.flat()), m);
    for (let k = 0; k < m; k++) {
      correlation.forEach((row, i) => {
        const image = row.reduce((sum, r, j) => sum + r * vectors[j * m + k], 0);
        expect(Math.abs(image - values[k] * vectors[i * m + k])).toBeLessThan(tol.rounding);
      });
    }
  });
});
