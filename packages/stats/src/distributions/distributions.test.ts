import { describe, expect, it } from 'vitest';
import { betaCdf, betaQuantile, betaUpper } from './beta';
import { binomialDensity, clopperPearson, hypergeometricCdf } from './counts';
import { fUpper } from './fisher';
import { chiSquareUpper, gammaUpper } from './gamma';
import { digamma, logGamma } from './gamma-function';
import { noncentralFUpper, noncentralTUpper } from './noncentral';
import { normalCdf, normalDensity, normalQuantile, normalUpper } from './normal';
import { rankSumCdf, signedRankCdf } from './rank-sums';
import { tCdf, tQuantile, tTwoSided, tUpper } from './student';

const tol = { closedForm: 1e-12, quadrature: 1e-11 };
const near = (got: number, want: number, within = tol.closedForm): void => {
  expect(Math.abs(got / want - 1)).toBeLessThan(within);
};

describe('edges', () => {
  it('has whole probability on one side beyond the ends', () => {
    expect(normalUpper(Infinity)).toBe(0);
    expect(normalCdf(Infinity)).toBe(1);
    expect(tUpper(-Infinity, 3)).toBe(1);
    expect(fUpper(-1, 2, 3)).toBe(1);
    expect(fUpper(Infinity, 2, 3)).toBe(0);
    expect(chiSquareUpper(0, 4)).toBe(1);
    expect(betaCdf(0, 2, 3)).toBe(0);
    expect(betaUpper(1, 2, 3)).toBe(0);
  });

  it('gives the ends for probabilities 0 and 1', () => {
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalQuantile(1)).toBe(Infinity);
    expect(tQuantile(0.5, 4)).toBe(0);
    expect(tQuantile(0, 4)).toBe(-Infinity);
    expect(betaQuantile(0, 2, 3)).toBe(0);
    expect(betaQuantile(1, 2, 3)).toBe(1);
  });

  it('names the argument, the rule and the value when a caller is wrong', () => {
    expect(() => tCdf(1, 0)).toThrow('degrees of freedom must be above 0; got 0');
    expect(() => normalQuantile(1.5)).toThrow('p must be between 0 and 1; got 1.5');
    expect(() => normalUpper(Number.NaN)).toThrow('z must be a number');
    expect(() => logGamma(0)).toThrow('must be above 0');
    expect(() => clopperPearson(5, 4, 0.95)).toThrow('successes must not exceed trials (4); got 5');
    expect(() => hypergeometricCdf(1, { white: 1, black: 1, drawn: 3 })).toThrow('drawn must not');
    expect(() => noncentralFUpper(1, 2, 3, -1)).toThrow('non-centrality');
  });
});

describe('closed forms', () => {
  it('log-gamma and digamma at points known exactly', () => {
    near(logGamma(0.5), Math.log(Math.PI) / 2);
    near(logGamma(11), Math.log(3628800));
    expect(logGamma(1)).toBe(0);
    expect(Math.abs(logGamma(2))).toBeLessThan(1e-16);
    // Near its zero the slope of log-gamma is digamma(1) = -Euler's constant.
    near(logGamma(1 + 1e-9) / (1 + 1e-9 - 1), -0.5772156649015329 + (Math.PI ** 2 / 12) * 1e-9);
    near(digamma(1), -0.5772156649015329);
    near(digamma(0.5), -0.5772156649015329 - 2 * Math.LN2);
  });

  it('t on 1 and 2 degrees of freedom', () => {
    for (const t of [0.001, 1, 30, 1e8]) {
      near(tUpper(t, 1), Math.atan(1 / t) / Math.PI);
      near(tUpper(t, 2), 1 / (t * t + 2 + t * Math.sqrt(t * t + 2)));
    }
    // Beyond the square root of the largest double only the leading power is left.
    near(tTwoSided(1e200, 1), 2e-200 / Math.PI);
  });

  it('gamma of whole shape is a Poisson sum; F on 2 df a power', () => {
    near(gammaUpper(4, 3), Math.exp(-4) * (1 + 4 + 8));
    near(fUpper(3, 2, 10), (1 + 6 / 10) ** -5);
    near(fUpper(3, 2, Infinity), Math.exp(-3));
    near(betaUpper(0.25, 1, 7), 0.75 ** 7);
  });

  it('keeps digits for shapes in the millions', () => {
    // A beta with equal shapes is even about one half; its density there is about sqrt(a / pi) * 2.
    expect(Math.abs(betaCdf(0.5, 1e6, 1e6) - 0.5)).toBeLessThan(1e-9);
    // Q(a, a) = 1/2 - 1/(3 sqrt(2 pi a)) + O(a^-3/2), Digital Library of Mathematical Functions 8.11.
    const atMean = 0.5 - 1 / (3 * Math.sqrt(2 * Math.PI * 1e6));
    expect(Math.abs(chiSquareUpper(2e6, 2e6) - atMean)).toBeLessThan(1e-9);
    expect(Math.abs(tUpper(1.96, 1e7) / normalUpper(1.96) - 1)).toBeLessThan(1e-6);
  });

  it('binomial densities add to 1', () => {
    for (const [n, p] of [
      [12, 0.3],
      [400, 0.011],
    ]) {
      let sum = 0;
      for (let x = 0; x <= n; x++) sum += binomialDensity(x, n, p);
      near(sum, 1);
    }
    expect(binomialDensity(3, 2, 0.5)).toBe(0);
    expect(binomialDensity(0, 5, 0)).toBe(1);
    expect(binomialDensity(5, 5, 1)).toBe(1);
  });

  it('non-central with no shift is central', () => {
    near(noncentralTUpper(2.1, 9, 0), tUpper(2.1, 9), tol.quadrature);
    near(noncentralFUpper(2.1, 3, 9, 0), fUpper(2.1, 3, 9));
    // Squared non-central t is non-central F on 1 df.
    near(
      noncentralTUpper(2, 11, 1.3) + noncentralTUpper(2, 11, -1.3),
      noncentralFUpper(4, 1, 11, 1.69),
      tol.quadrature,
    );
    near(noncentralTUpper(2, Infinity, 0.5), normalUpper(1.5));
  });

  it('the normal density is the slope of its tail', () => {
    for (const z of [0.2, 1.7, 6, 20]) {
      const h = 1e-4 / Math.max(1, z);
      const slope = (normalUpper(z - h) - normalUpper(z + h)) / (2 * h);
      expect(Math.abs(slope / normalDensity(z) - 1)).toBeLessThan(1e-7);
    }
  });

  it('rank statistics count by hand', () => {
    // Ranks 1, 2, 3: sums 0 1 2 3 3 4 5 6. Two against two: U counts 1 1 2 1 1 of 6.
    expect(signedRankCdf(3, 3)).toBe(5 / 8);
    expect(rankSumCdf(2, 2, 2)).toBe(4 / 6);
    expect(rankSumCdf(-1, 2, 2)).toBe(0);
  });
});

describe('the exact interval of a proportion', () => {
  it('is the rule of three when none or all are seen', () => {
    // 1 - .05^(1/n) one-sided, here as a 90 % two-sided interval: 13.9 % for 0 of 20.
    near(clopperPearson(0, 20, 0.9).upper, 1 - 0.05 ** (1 / 20));
    near(clopperPearson(20, 20, 0.9).lower, 0.05 ** (1 / 20));
    expect(clopperPearson(0, 20, 0.9).lower).toBe(0);
    expect(clopperPearson(20, 20, 0.9).upper).toBe(1);
  });

  it('leaves half of what is outside in either tail', () => {
    const { lower, upper } = clopperPearson(7, 24, 0.95);
    let [above, below] = [0, 0];
    for (let x = 7; x <= 24; x++) above += binomialDensity(x, 24, lower);
    for (let x = 0; x <= 7; x++) below += binomialDensity(x, 24, upper);
    near(above, 0.025);
    near(below, 0.025);
  });
});
