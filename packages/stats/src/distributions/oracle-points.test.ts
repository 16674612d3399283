import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { betaCdf, betaQuantile, betaUpper } from './beta';
import {
  betaBinomialDensity,
  binomialDensity,
  hypergeometricCdf,
  hypergeometricUpper,
} from './counts';
import { fCdf, fQuantile, fUpper } from './fisher';
import {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareUpper,
  gammaCdf,
  gammaQuantile,
  gammaUpper,
} from './gamma';
import { digamma, logGamma } from './gamma-function';
import { noncentralFCdf, noncentralFUpper, noncentralTCdf, noncentralTUpper } from './noncentral';
import { normalCdf, normalQuantile, normalUpper } from './normal';
import { rankSumCdf, signedRankCdf } from './rank-sums';
import { tCdf, tQuantile, tTwoSided, tUpper } from './student';

type Point = { fn: string; args: string; value: number };
type Numerics = {
  expected: {
    points: Point[];
    power_anova: { groups: number; n: number; power: number }[];
  };
};
type Noncentral = {
  points: { fn: 't' | 'f'; args: number[]; lower: number; upper: number }[];
};
const read = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../oracle/${name}`, import.meta.url), 'utf8'));
// R 4.2.2; how each file was made is written in it and in oracle/distributions.md.
const numerics = read('k_numerics.json') as Numerics;
const noncentral = read('noncentral.json') as Noncentral;

const tol = {
  /** Relative, body and tails. */
  closedForm: 1e-10,
  /** R sums its non-central series to about this, absolute; the exact points are in noncentral.json. */
  rNoncentral: 5e-9,
};

/** Every function of the R file and ours; the test below fails if a point has no counterpart. */
const ours: Readonly<Record<string, (...a: number[]) => number>> = {
  pt: tCdf,
  pnorm: normalCdf,
  qt: (p, df) => tQuantile(p, df),
  pf: fCdf,
  pchisq: chiSquareCdf,
  pbeta: betaCdf,
  qbeta: (p, a, b) => betaQuantile(p, a, b),
  pgamma: gammaCdf,
  lgamma: logGamma,
  digamma,
  dbinom: binomialDensity,
  phyper: (x, white, black, drawn) => hypergeometricCdf(x, { white, black, drawn }),
  psignrank: signedRankCdf,
  pwilcox: rankSumCdf,
  'pt_noncentral(x,df,ncp)': noncentralTCdf,
  'pf_noncentral(x,df1,df2,ncp)': noncentralFCdf,
  'dbetabinom(y,n,alpha,beta)': betaBinomialDensity,
};

const relative = (got: number, want: number): number =>
  want === 0 ? Math.abs(got) : Math.abs(got / want - 1);

const numbers = (args: string): number[] => args.split(',').map(Number);

describe("R's answers", () => {
  const names = [...new Set(numerics.expected.points.map((p) => p.fn))];

  it('has a counterpart for every function asked of R', () => {
    expect(names.sort()).toEqual(Object.keys(ours).sort());
    expect(numerics.expected.points).toHaveLength(25 * names.length);
  });

  for (const name of names) {
    it(`agrees on all points of ${name}`, () => {
      for (const { fn, args, value } of numerics.expected.points) {
        if (fn !== name) continue;
        const got = ours[fn](...numbers(args));
        if (fn.includes('noncentral')) {
          expect(Math.abs(got - value), args).toBeLessThan(tol.rNoncentral);
        } else {
          expect(relative(got, value), args).toBeLessThan(tol.closedForm);
        }
      }
    });
  }

  it('agrees on the power of one-way analysis of variance', () => {
    // power.anova.test with between-group variances 0.5, 0.4 and 0.3 and error variance 1.
    const between = [0.5, 0.4, 0.3];
    numerics.expected.power_anova.forEach(({ groups, n, power }, i) => {
      const [df1, df2] = [groups - 1, groups * (n - 1)];
      const critical = fQuantile(0.05, df1, df2, 'upper');
      const got = noncentralFUpper(critical, df1, df2, df1 * n * between[i]);
      expect(Math.abs(got - power)).toBeLessThan(tol.rNoncentral);
    });
  });
});

describe('non-central points to twenty digits', () => {
  it('agrees in both tails', () => {
    expect(noncentral.points).toHaveLength(50);
    for (const { fn, args, lower, upper } of noncentral.points) {
      const [x, d, e, f] = args;
      const got =
        fn === 't'
          ? [noncentralTCdf(x, d, e), noncentralTUpper(x, d, e)]
          : [noncentralFCdf(x, d, e, f), noncentralFUpper(x, d, e, f)];
      expect(relative(got[0], lower), `${fn} ${args.join()}`).toBeLessThan(tol.closedForm);
      expect(relative(got[1], upper), `${fn} ${args.join()}`).toBeLessThan(tol.closedForm);
    }
  });
});

/** Pairs of tails and their quantile, tried over every R point of that family. */
type Family = {
  fn: string;
  lower: (...a: number[]) => number;
  upper: (...a: number[]) => number;
  quantile: (p: number, shape: number[], tail: 'lower' | 'upper') => number;
};
const families: Family[] = [
  {
    fn: 'pnorm',
    lower: normalCdf,
    upper: normalUpper,
    quantile: (p, _, t) => normalQuantile(p, t),
  },
  { fn: 'pt', lower: tCdf, upper: tUpper, quantile: (p, [n], t) => tQuantile(p, n, t) },
  { fn: 'pf', lower: fCdf, upper: fUpper, quantile: (p, [m, n], t) => fQuantile(p, m, n, t) },
  {
    fn: 'pchisq',
    lower: chiSquareCdf,
    upper: chiSquareUpper,
    quantile: (p, [n], t) => chiSquareQuantile(p, n, t),
  },
  {
    fn: 'pbeta',
    lower: betaCdf,
    upper: betaUpper,
    quantile: (p, [a, b], t) => betaQuantile(p, a, b, t),
  },
  {
    fn: 'pgamma',
    lower: gammaCdf,
    upper: gammaUpper,
    quantile: (p, [a], t) => gammaQuantile(p, a, t),
  },
];

describe('both tails and quantiles hang together', () => {
  for (const { fn, lower, upper, quantile } of families) {
    it(`${fn}: tails add to 1 and the quantile of the smaller tail comes back`, () => {
      for (const point of numerics.expected.points) {
        if (point.fn !== fn) continue;
        const [x, ...shape] = numbers(point.args);
        const [low, high] = [lower(x, ...shape), upper(x, ...shape)];
        expect(Math.abs(low + high - 1)).toBeLessThan(1e-14);
        const [p, tail] = low < high ? ([low, 'lower'] as const) : ([high, 'upper'] as const);
        expect(relative(quantile(p, shape, tail), x), point.args).toBeLessThan(tol.closedForm);
      }
    });
  }

  it('the two-sided t is twice the upper one, and F on 1 df is its square', () => {
    for (const [t, df] of [
      [2.14799, 14],
      [-40, 3],
      [1e-5, 7],
    ]) {
      expect(tTwoSided(t, df)).toBe(2 * tUpper(Math.abs(t), df));
      expect(relative(fUpper(t * t, 1, df), tTwoSided(t, df))).toBeLessThan(tol.closedForm);
    }
  });

  it('the hypergeometric tails share the whole', () => {
    const urn = { white: 7, black: 9, drawn: 6 };
    for (let x = -1; x <= 7; x++) {
      expect(hypergeometricCdf(x, urn) + hypergeometricUpper(x, urn)).toBeCloseTo(1, 14);
    }
  });
});
