import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { binomialDensity } from './distributions/counts';
import { chiSquareUpper } from './distributions/gamma';
import { createRandom, randomFromState, type RandomState } from './random';

// Made by oracle/random.py with big integers; the first list is also printed in the reference tests of
// other implementations of xoshiro128** 1.1 for the state 1, 2, 3, 4.
type RandomOracle = {
  state1234: number[];
  state1234AfterJump: number[];
  seeds: { seed: number; state: RandomState; draws: number[] }[];
};
const oracle = JSON.parse(
  readFileSync(new URL('../oracle/random.json', import.meta.url), 'utf8'),
) as RandomOracle;

/** A chi-square test on fixed seeds: below this the draw would be wrong, not unlucky. */
const LEAST_P = 1e-4;

function evenness(counts: readonly number[]): number {
  const expected = counts.reduce((a, b) => a + b, 0) / counts.length;
  const square = counts.reduce((sum, c) => sum + (c - expected) ** 2 / expected, 0);
  return chiSquareUpper(square, counts.length - 1);
}

describe('the seeded generator', () => {
  it('gives the reference values of xoshiro128**', () => {
    const random = randomFromState([1, 2, 3, 4]);
    expect(oracle.state1234.map(() => random.next())).toEqual(oracle.state1234);
  });

  it('pins the first values of five seeds', () => {
    for (const { seed, draws } of oracle.seeds) {
      const random = createRandom(seed);
      expect(draws.map(() => random.next())).toEqual(draws);
    }
  });

  it('refuses a seed that is not 32 bits, rather than fold it', () => {
    for (const seed of [-1, 0.5, 4294967296, Number.NaN]) {
      expect(() => createRandom(seed)).toThrow(/seed must be a whole number from 0 to 4294967295/);
    }
  });

  it('splits into a stream that goes on here and one 2^64 draws ahead', () => {
    const random = randomFromState([1, 2, 3, 4]);
    const branch = random.split();
    expect(oracle.state1234.map(() => branch.next())).toEqual(oracle.state1234);
    expect(oracle.state1234AfterJump.map(() => random.next())).toEqual(oracle.state1234AfterJump);
  });

  it('uniform is made of the top 27 and 26 bits of two draws', () => {
    const [a, b] = oracle.state1234.slice(4, 6);
    const random = randomFromState([1, 2, 3, 4]);
    for (let i = 0; i < 4; i++) random.next();
    expect(random.uniform()).toBe((Math.floor(a / 32) * 2 ** 26 + Math.floor(b / 64)) / 2 ** 53);
  });
});

describe('draws', () => {
  it('below is even and throws away the ragged end', () => {
    const random = createRandom(7);
    const counts = new Array<number>(7).fill(0);
    for (let i = 0; i < 70_000; i++) counts[random.below(7)]++;
    expect(evenness(counts)).toBeGreaterThan(LEAST_P);
    // 3 x 2^30 divides 2^32 with a remainder: an unheeding remainder would give the first third half the draws.
    const thirds = [0, 0, 0];
    for (let i = 0; i < 30_000; i++) thirds[Math.floor(random.below(3 * 2 ** 30) / 2 ** 30)]++;
    expect(evenness(thirds)).toBeGreaterThan(LEAST_P);
    expect(random.below(1)).toBe(0);
    expect(() => random.below(0)).toThrow(/n of below/);
  });

  it('shuffle gives all 24 orders of 4 equally often', () => {
    const random = createRandom(11);
    const seen = new Map<string, number>();
    for (let i = 0; i < 48_000; i++) {
      const order = [0, 1, 2, 3];
      random.shuffle(order);
      const key = order.join('');
      seen.set(key, (seen.get(key) ?? 0) + 1);
    }
    expect(seen.size).toBe(24);
    expect(evenness([...seen.values()])).toBeGreaterThan(LEAST_P);
    const typed = Uint8Array.from([5, 6, 7]);
    random.shuffle(typed);
    expect([...typed].sort()).toEqual([5, 6, 7]);
  });

  it('normal has the moments of a standard normal', () => {
    const random = createRandom(3);
    const n = 100_000;
    const power = [0, 0, 0, 0];
    for (let i = 0; i < n; i++) {
      const z = random.normal();
      for (let k = 0; k < 4; k++) power[k] += z ** (k + 1) / n;
    }
    // Standard errors of the four means: sqrt(1, 2, 15, 96) / sqrt(n); five of them allowed.
    const moments = [0, 1, 0, 3];
    const variance = [1, 2, 15, 96];
    for (let k = 0; k < 4; k++) {
      expect(Math.abs(power[k] - moments[k])).toBeLessThan(5 * Math.sqrt(variance[k] / n));
    }
  });

  it('binomial follows its density, also past one pass of the inversion', () => {
    const random = createRandom(5);
    for (const [n, p] of [
      [6, 0.3],
      [200, 0.4],
      [90, 0.85],
    ]) {
      const draws = 40_000;
      const counts = new Array<number>(n + 1).fill(0);
      for (let i = 0; i < draws; i++) counts[random.binomial(n, p)]++;
      let square = 0;
      let cells = 0;
      counts.forEach((count, x) => {
        const expected = draws * binomialDensity(x, n, p);
        if (expected < 5) return;
        square += (count - expected) ** 2 / expected;
        cells++;
      });
      expect(chiSquareUpper(square, cells - 1)).toBeGreaterThan(LEAST_P);
    }
    expect(random.binomial(10, 0)).toBe(0);
    expect(random.binomial(10, 1)).toBe(10);
    expect(() => random.binomial(2.5, 0.5)).toThrow(/n of binomial/);
  });
});
