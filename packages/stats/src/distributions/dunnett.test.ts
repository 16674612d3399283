import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Correlation } from './correlation';
import { dunnett, dunnettQuantile, dunnettTail, dunnettUpper } from './dunnett';
import { generalOutside } from './dunnett-general';
import { latticeOutside, pivotedTriangle } from './dunnett-lattice';
import { overScale } from './scale-mixture';
import { tQuantile, tTwoSided, tUpper } from './student';

const read = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../oracle/${name}`, import.meta.url), 'utf8'));

// R 4.2.2 with mvtnorm; p_quadrature is R's integrate() over the product structure where there is one.
type RCase = {
  expected: {
    dunnett: {
      table: { 't.ratio': number }[];
      corr: number[][];
      df: number;
      p_pmvt: number[];
      q95_pmvt: number;
      p_quadrature: number[] | null;
      q95_quadrature: number | null;
    };
  };
};
// oracle/dunnett.py: exact factors of block designs with lost plots, integrated on a grid.
type Exact = { cases: { correlation: number[][]; df: number; t: number[]; p: number[] }[] };
const lostPlots = (read('dunnett.json') as Exact).cases;

const tol = {
  quadrature: 1e-8,
  /** R's own error, as stated with its answers. */
  pmvt: 5e-6,
  /** R's root of a simulated p: 8.3e-5 off its own quadrature in the complete 6 x 5 case. */
  pmvtQuantile: 1e-4,
  /** Few factors: the sparse grid and the table over it. */
  factors: 1e-7,
  lattice: 3e-5,
  /** With what the table over the lattice adds. */
  farLattice: 5e-5,
  printed: 0.002,
};

function productOf(loadings: readonly number[]): number[][] {
  return loadings.map((a, i) => loadings.map((b, j) => (i === j ? 1 : a * b)));
}

describe("R's Dunnett cases", () => {
  for (const [name, route] of [
    ['a_rcbd_4x4', 'product'],
    ['a_rcbd_6x5', 'product'],
    // Three contrasts have product structure whatever was lost.
    ['a_rcbd_4x4_missing', 'product'],
    ['a_rcbd_6x5_missing', 'factors'],
  ]) {
    it(`${name}: p-values and the 95 % point, by the ${route} route`, () => {
      const { table, corr, df, ...r } = (read(`${name}.json`) as RCase).expected.dunnett;
      table.forEach((row, i) => {
        const got = dunnettTail(row['t.ratio'], corr, df);
        expect(got.route).toBe(route);
        expect(Math.abs(got.p - r.p_pmvt[i])).toBeLessThan(tol.pmvt);
        if (r.p_quadrature) {
          expect(Math.abs(got.p - r.p_quadrature[i])).toBeLessThan(tol.quadrature);
        }
      });
      const q = dunnettQuantile(0.95, corr, df);
      expect(Math.abs(q - r.q95_pmvt)).toBeLessThan(tol.pmvtQuantile);
      if (r.q95_quadrature !== null) {
        expect(Math.abs(q - r.q95_quadrature)).toBeLessThan(tol.quadrature);
      }
      expect(Math.abs(dunnettUpper(q, corr, df) - 0.05)).toBeLessThan(tol.quadrature);
    });
  }
});

describe('blocks with lost plots, exactly', () => {
  it('agrees by the factors, within the error it states', () => {
    for (const { correlation, df, t, p } of lostPlots) {
      const { route, upper } = dunnett(correlation, df);
      expect(route).toBe('factors');
      t.forEach((value, i) => {
        const got = upper(value);
        expect(got.error).toBeLessThan(tol.factors);
        expect(Math.abs(got.p - p[i])).toBeLessThan(got.error);
      });
    }
  });

  it('agrees by the lattice', () => {
    const { correlation, df, t, p } = lostPlots[1];
    const outside = latticeOutside(pivotedTriangle(correlation), tol.lattice);
    const hints = { peak: 0, sharpness: 7, logError: 14 };
    const got = overScale(df, hints, (s) => outside(t[2] * s).p);
    expect(Math.abs(got - p[2])).toBeLessThan(tol.lattice);
  });
});

describe('one route against another', () => {
  const balanced = productOf([Math.SQRT1_2, Math.SQRT1_2, Math.SQRT1_2]);

  it('lattice, factors and product agree on a product structure', () => {
    const correlation = productOf([0.7, 0.6, 0.8, 0.65]);
    const exact = dunnettTail(2.4, correlation, Infinity);
    expect(exact.route).toBe('product');
    const factors = generalOutside(correlation);
    expect(factors.route).toBe('factors');
    expect(Math.abs(factors.at(2.4) - exact.p)).toBeLessThan(factors.error);
    const lattice = latticeOutside(pivotedTriangle(correlation), tol.lattice)(2.4);
    expect(lattice.error).toBeLessThan(tol.lattice);
    expect(Math.abs(lattice.p - exact.p)).toBeLessThan(lattice.error);
  });

  it('falls back on the lattice far from any few light factors', () => {
    // Two pairs, each nearly alike and independent of the other: 1 - (1 - p)^2 in the normal case.
    const pair = [
      [1, 0.9],
      [0.9, 1],
    ];
    const both: Correlation = [
      [1, 0.9, 0, 0],
      [0.9, 1, 0, 0],
      [0, 0, 1, 0.9],
      [0, 0, 0.9, 1],
    ];
    const one = dunnettUpper(2.2, pair, Infinity);
    const got = dunnettTail(2.2, both, Infinity);
    expect(got.route).toBe('lattice');
    expect(got.error).toBeLessThan(tol.farLattice);
    expect(Math.abs(got.p - one * (2 - one))).toBeLessThan(got.error);
  });

  it('independent contrasts on normal errors multiply', () => {
    const p = tTwoSided(2.1, Infinity);
    const got = dunnettUpper(2.1, productOf([0, 0, 0, 0, 0]), Infinity);
    expect(Math.abs(got - (1 - (1 - p) ** 5))).toBeLessThan(1e-12);
  });

  it('one contrast is the two-sided t, repeats and mirror images change nothing', () => {
    expect(dunnettUpper(2.3, [[1]], 9)).toBe(tTwoSided(2.3, 9));
    expect(dunnettQuantile(0.95, [[1]], 9)).toBeCloseTo(tQuantile(0.975, 9), 10);
    const doubled = [
      [1, 0.5, -1],
      [0.5, 1, -0.5],
      [-1, -0.5, 1],
    ];
    const single = [
      [1, 0.5],
      [0.5, 1],
    ];
    expect(dunnettUpper(2, doubled, 7)).toBe(dunnettUpper(2, single, 7));
  });

  it('keeps its digits in the far tail, where the union bound is nearly exact', () => {
    const p = dunnettUpper(60, balanced, 4);
    const bound = 6 * tUpper(60, 4);
    expect(p).toBeLessThan(bound);
    expect(p).toBeGreaterThan(bound / 3);
    const far = dunnettUpper(12, balanced, Infinity);
    expect(Math.abs(far / (3 * tTwoSided(12, Infinity)) - 1)).toBeLessThan(1e-9);
  });

  it('the quantile comes back from its p-value', () => {
    for (const level of [0.5, 0.9, 0.999999]) {
      const q = dunnettQuantile(level, balanced, 6);
      expect(Math.abs(dunnettUpper(q, balanced, 6) / (1 - level) - 1)).toBeLessThan(1e-9);
    }
    const general = lostPlots[0].correlation;
    const q = dunnettQuantile(0.9, general, 16);
    expect(Math.abs(dunnettUpper(q, general, 16) - 0.1)).toBeLessThan(tol.quadrature);
  });
});

describe('Dunnett 1955, blood counts', () => {
  // JASA 50:1096, the data of the worked example; statistics, p-values and intervals as printed in
  // general software documentation (from memory).
  const groups = [
    [7.4, 8.5, 7.2, 8.24, 9.84, 8.32],
    [9.76, 8.8, 7.68, 9.36],
    [12.8, 9.68, 12.16, 9.2, 10.55],
  ];
  const means = groups.map((g) => g.reduce((a, b) => a + b, 0) / g.length);
  const square = groups.reduce(
    (sum, g, i) => sum + g.reduce((s, y) => s + (y - means[i]) ** 2, 0),
    0,
  );
  const df = 12;
  const variance = square / df;
  const [control, ...treated] = groups.map((g) => g.length);
  const correlation = productOf(treated.map((n) => Math.sqrt(n / (n + control))));
  const se = treated.map((n) => Math.sqrt(variance * (1 / n + 1 / control)));

  it('gives the printed p-values', () => {
    const t = se.map((s, i) => (means[i + 1] - means[0]) / s);
    expect(Math.abs(t[0] - 0.857)).toBeLessThan(tol.printed);
    expect(Math.abs(t[1] - 3.694)).toBeLessThan(tol.printed);
    expect(Math.abs(dunnettUpper(t[0], correlation, df) - 0.62)).toBeLessThan(tol.printed);
    expect(Math.abs(dunnettUpper(t[1], correlation, df) - 0.0059)).toBeLessThan(tol.printed);
  });

  it('gives the printed intervals', () => {
    const q = dunnettQuantile(0.95, correlation, df);
    const printed = [
      [-1.26, 2.56],
      [0.84, 4.42],
    ];
    printed.forEach(([low, high], i) => {
      const difference = means[i + 1] - means[0];
      expect(Math.abs(difference - q * se[i] - low)).toBeLessThan(0.006);
      expect(Math.abs(difference + q * se[i] - high)).toBeLessThan(0.006);
    });
  });
});

describe('what is refused', () => {
  it('names the entry that makes the matrix no correlation', () => {
    expect(() => dunnettUpper(1, [], 5)).toThrow('at least one row');
    expect(() => dunnettUpper(1, [[1, 0.5]], 5)).toThrow('row 1 must have 1 entries; got 2');
    expect(() =>
      dunnettUpper(
        1,
        [
          [1, 0.4],
          [0.5, 1],
        ],
        5,
      ),
    ).toThrow('correlation at 1, 2 must be 0.5; got 0.4');
    expect(() => dunnettUpper(1, [[1]], -1)).toThrow('degrees of freedom must be above 0');
    expect(() => dunnettQuantile(1.2, [[1]], 5)).toThrow('level must be between 0 and 1');
  });

  it('refuses a matrix that is not positive definite', () => {
    const impossible = [
      [1, 0.9, -0.9, 0.2],
      [0.9, 1, 0.9, 0.1],
      [-0.9, 0.9, 1, 0.3],
      [0.2, 0.1, 0.3, 1],
    ];
    expect(() => dunnettUpper(1, impossible, 5)).toThrow('positive definite');
  });

  it('ends at 1 for t = 0 and at 0 for infinity', () => {
    const c = productOf([0.5, 0.6]);
    expect(dunnettUpper(0, c, 5)).toBeCloseTo(1, 10);
    expect(dunnettUpper(Infinity, c, 5)).toBe(0);
    expect(dunnettQuantile(0, c, 5)).toBe(0);
    expect(dunnettQuantile(1, c, 5)).toBe(Infinity);
  });
});
