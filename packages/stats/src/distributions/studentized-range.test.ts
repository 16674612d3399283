import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { normalUpper } from './normal';
import { tTwoSided } from './student';
import { studentizedRangeQuantile, studentizedRangeUpper } from './studentized-range';

// Composite Gauss-Legendre quadrature, which agrees with scipy to 1e-13 in the body and, unlike R's
// ptukey, is right in the far tail; see oracle/distributions.md.
type RangePoint = { q: number; nmeans: number; df: number; upper: number };
const reference = (
  JSON.parse(readFileSync(new URL('../../oracle/k_numerics.json', import.meta.url), 'utf8')) as {
    expected: { studentized_range_upper: RangePoint[] };
  }
).expected.studentized_range_upper;

const tol = {
  /** Relative. */
  quadrature: 1e-10,
  quantile: 1e-9,
  /** The printed tables have three decimals. */
  printed: 0.0006,
};

describe('the studentised range', () => {
  it('agrees with the reference in the body and in the far tail', () => {
    expect(reference).toHaveLength(15);
    for (const { q, nmeans, df, upper } of reference) {
      const got = studentizedRangeUpper(q, nmeans, df);
      expect(Math.abs(got / upper - 1), `${q} ${nmeans} ${df}`).toBeLessThan(tol.quadrature);
    }
  });

  it('agrees with the standard tables of the upper 5 % points', () => {
    // Tables printed in the textbooks, from memory: Harter 1960, Ann. Math. Stat. 31:1122.
    const table = [
      [3, 10, 3.877],
      [3, 12, 3.773],
      [4, 12, 4.199],
      [4, 20, 3.958],
      [5, 20, 4.232],
      [6, 30, 4.301],
      [3, Infinity, 3.314],
    ];
    for (const [k, df, q] of table) {
      expect(Math.abs(studentizedRangeQuantile(0.95, k, df) - q)).toBeLessThan(tol.printed);
    }
  });

  it('is the two-sided t for two means', () => {
    for (const df of [1, 2, 3.5, 9, 200, 1e5]) {
      for (const q of [0.1, 1, 4, 20, 300]) {
        const got = studentizedRangeUpper(q, 2, df);
        const want = tTwoSided(q / Math.SQRT2, df);
        if (want > 1e-300)
          expect(Math.abs(got / want - 1), `${q} ${df}`).toBeLessThan(tol.quadrature);
      }
    }
    const far = studentizedRangeUpper(40, 2, Infinity);
    expect(Math.abs(far / (2 * normalUpper(40 / Math.SQRT2)) - 1)).toBeLessThan(tol.quadrature);
  });

  it('tends to the normal range as the degrees of freedom grow', () => {
    const limit = studentizedRangeUpper(3.5, 5, Infinity);
    expect(Math.abs(studentizedRangeUpper(3.5, 5, 1e8) / limit - 1)).toBeLessThan(1e-6);
  });

  it('comes back from its quantile, from either tail', () => {
    for (const [p, k, df] of [
      [0.05, 4, 9],
      [1e-8, 6, 20],
      [0.7, 3, 2],
      [0.01, 12, Infinity],
    ]) {
      const q = studentizedRangeQuantile(p, k, df, 'upper');
      expect(Math.abs(studentizedRangeUpper(q, k, df) / p - 1)).toBeLessThan(tol.quantile);
    }
    expect(studentizedRangeQuantile(0.95, 4, 9)).toBeCloseTo(
      studentizedRangeQuantile(0.05, 4, 9, 'upper'),
      9,
    );
  });

  it('handles the ends and refuses what has no meaning', () => {
    expect(studentizedRangeUpper(0, 3, 5)).toBe(1);
    expect(studentizedRangeUpper(Infinity, 3, 5)).toBe(0);
    expect(studentizedRangeQuantile(0, 3, 5)).toBe(0);
    expect(studentizedRangeQuantile(1, 3, 5)).toBe(Infinity);
    expect(() => studentizedRangeUpper(1, 1, 5)).toThrow('number of means must be a whole number');
    expect(() => studentizedRangeUpper(1, 3, 0)).toThrow('degrees of freedom must be above 0');
  });
});
