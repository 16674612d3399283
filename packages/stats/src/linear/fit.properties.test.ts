import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Factor, Term } from './design';
import { fitLinear } from './fit';

// Sums of squares here reach 1e5, so 1e-8 is thirteen figures.
const tol = { closedForm: 1e-10, ss: 1e-8, sum: 1e-9 };

const factor = (name: string, codes: number[], levels: string[]): Factor => ({
  kind: 'factor',
  name,
  codes,
  levels,
});

describe('properties', () => {
  const layout = fc
    .record({ blocks: fc.integer({ min: 2, max: 6 }), treatments: fc.integer({ min: 2, max: 6 }) })
    .chain(({ blocks, treatments }) =>
      fc.record({
        blocks: fc.constant(blocks),
        treatments: fc.constant(treatments),
        y: fc.array(fc.double({ min: -100, max: 100, noNaN: true }).map(Math.fround), {
          minLength: blocks * treatments,
          maxLength: blocks * treatments,
        }),
        shifts: fc.array(fc.integer({ min: -50, max: 50 }), {
          minLength: blocks,
          maxLength: blocks,
        }),
        lost: fc.array(fc.boolean(), {
          minLength: blocks * treatments,
          maxLength: blocks * treatments,
        }),
      }),
    );

  function termsOf(blocks: number, treatments: number, keep: readonly number[]): Term[] {
    const names = (n: number) => Array.from({ length: n }, (_, i) => String(i));
    return [
      factor(
        'block',
        keep.map((i) => Math.floor(i / treatments)),
        names(blocks),
      ),
      factor(
        'trt',
        keep.map((i) => i % treatments),
        names(treatments),
      ),
    ];
  }

  it('in complete blocks the fit is the textbook closed form', () => {
    fc.assert(
      fc.property(layout, ({ blocks, treatments, y }) => {
        const fit = fitLinear({
          y,
          terms: termsOf(
            blocks,
            treatments,
            y.map((_, i) => i),
          ),
        });
        const grand = y.reduce((a, b) => a + b) / y.length;
        let ss = 0;
        for (let t = 0; t < treatments; t++) {
          let sum = 0;
          for (let b = 0; b < blocks; b++) sum += y[b * treatments + t];
          ss += blocks * (sum / blocks - grand) ** 2;
        }
        expect(Math.abs(fit.anova[1].ss - ss)).toBeLessThan(tol.closedForm * (1 + ss + 1e4));
      }),
    );
  });

  it('a block constant moves no treatment sum of squares, with any plots lost', () => {
    fc.assert(
      fc.property(layout, ({ blocks, treatments, y, shifts, lost }) => {
        const keep = y.map((_, i) => i).filter((i) => !lost[i]);
        if (keep.length < 2) return;
        const terms = termsOf(blocks, treatments, keep);
        const plain = fitLinear({ y: keep.map((i) => y[i]), terms });
        const moved = fitLinear({
          y: keep.map((i) => y[i] + shifts[Math.floor(i / treatments)]),
          terms,
        });
        expect(moved.rank).toBe(plain.rank);
        expect(Math.abs(moved.anova[1].ss - plain.anova[1].ss)).toBeLessThan(tol.ss);
        expect(Math.abs(moved.anova[2].ss - plain.anova[2].ss)).toBeLessThan(tol.ss);
      }),
    );
  });

  it('the rows add up to the total, residuals are orthogonal to every level, nothing is NaN', () => {
    fc.assert(
      fc.property(layout, ({ blocks, treatments, y, lost }) => {
        const keep = y.map((_, i) => i).filter((i) => !lost[i]);
        if (keep.length === 0) return;
        const fit = fitLinear({
          y: keep.map((i) => y[i]),
          terms: termsOf(blocks, treatments, keep),
        });
        const mean = keep.reduce((sum, i) => sum + y[i], 0) / keep.length;
        const total = keep.reduce((sum, i) => sum + (y[i] - mean) ** 2, 0);
        expect(Math.abs(fit.anova.reduce((sum, row) => sum + row.ss, 0) - total)).toBeLessThan(
          1e-8,
        );
        expect(fit.anova.reduce((sum, row) => sum + row.df, 0)).toBe(keep.length - 1);
        for (let t = 0; t < treatments; t++) {
          const sum = keep.reduce(
            (s, i, k) => (i % treatments === t ? s + fit.residuals[k] : s),
            0,
          );
          expect(Math.abs(sum)).toBeLessThan(tol.sum);
        }
        for (const row of fit.anova) {
          for (const value of [row.ss, row.ms, row.f, row.p]) expect(value).not.toBeNaN();
          if (row.p !== undefined) expect(row.p).toBeGreaterThan(0);
        }
      }),
    );
  });
});
