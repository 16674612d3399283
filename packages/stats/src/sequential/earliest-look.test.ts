import { describe, expect, it } from 'vitest';
import type { LayoutSet } from '../exact/layout-set';
import { createRandom } from '../random';
import { earliestLook, smallestDifferenceShare } from './earliest-look';
import { layoutLooks } from './layout-looks';
import { blocksOf, everyLayout, late, rounds, spentBy } from './looks.cases';
import { pairIntervalsOfLooks } from './pair-looks';

describe('the earliest look that can stop', () => {
  it('two treatments in four blocks: never at 5 %', () => {
    const { labels, strata } = blocksOf(2, 4);
    const of = { treatments: 2, control: 0 };
    const share = smallestDifferenceShare({ kind: 'strata', strata }, labels, of)!;
    expect(share).toBe(0.125);
    expect(earliestLook(share, spentBy(late, 5, 0.05))).toBeUndefined();
  });

  it('complete blocks: 2 (k - 1) / (k (k - 1))^b', () => {
    for (const [k, b] of [
      [3, 4],
      [4, 4],
      [5, 6],
    ] as const) {
      const { labels, strata } = blocksOf(k, b);
      const of = { treatments: k, control: 0 };
      const share = smallestDifferenceShare({ kind: 'strata', strata }, labels, of)!;
      expect(share / ((2 * (k - 1)) / (k * (k - 1)) ** b)).toBeCloseTo(1, 12);
    }
  });

  it('is what the most extreme layout of an enumeration reaches', () => {
    const designs = [
      { k: 3, ...blocksOf(3, 3) },
      {
        k: 3,
        labels: Uint8Array.of(0, 0, 0, 1, 1, 2, 2),
        strata: [[0, 1, 2, 3, 4, 5, 6]],
      },
    ];
    for (const { k, labels, strata } of designs) {
      const all = everyLayout(labels, strata);
      // Far apart, so that no two placings have the same difference by chance.
      const y = Float64Array.from(labels, (_, p) => 3.7 ** p);
      const t = all.map((row) => {
        const centred = y.slice();
        for (const s of strata) {
          const mean = s.reduce((sum, p) => sum + y[p], 0) / s.length;
          for (const p of s) centred[p] -= mean;
        }
        return plainDifference(centred, row, k);
      });
      const top = Math.max(...t);
      const reached = t.filter((value) => value >= top * (1 - 1e-9)).length / all.length;
      const of = { treatments: k, control: 0 };
      const set: LayoutSet = { kind: 'strata', strata };
      expect(smallestDifferenceShare(set, labels, of)).toBeCloseTo(reached, 12);
      const rows = new Uint8Array(all.flatMap((row) => [...row]));
      const list: LayoutSet = { kind: 'list', labels: rows, count: all.length };
      expect(smallestDifferenceShare(list, labels, of)).toBeCloseTo(reached, 12);
    }
  });

  it('agrees with the bounds: the most extreme trial stops there and no earlier', () => {
    const { labels, strata } = blocksOf(4, 4);
    const layouts: LayoutSet = { kind: 'strata', strata };
    const of = { treatments: 4, control: 0 };
    const share = smallestDifferenceShare(layouts, labels, of)!;
    const spent = spentBy(late, 6, 0.05);
    const found = earliestLook(share, spent)!;
    const noise = rounds(createRandom(2), 16, 1)[0];
    // The control the worst of every block, one treatment the best, and far from it.
    const y = noise.map((v, p) => v / 100 + [9, 0, 4, 5][labels[p]]);
    const looks = spent.map((may) => ({ y, spent: may }));
    const result = layoutLooks({ looks, labels, layouts, ...of, seed: 1 });
    expect(found).toBe(2);
    expect(result.looks.findIndex(({ stop }) => stop)).toBe(found);
    expect(result.looks[0].p).toBeCloseTo(share, 12);
  });
});

const plainDifference = (y: Float64Array, labels: Uint8Array, k: number): number => {
  const scaled = (l: number, sums: readonly number[], sizes: readonly number[]): number =>
    Math.abs(sums[l] / sizes[l] - sums[0] / sizes[0]) / Math.sqrt(1 / sizes[l] + 1 / sizes[0]);
  const sums = new Array<number>(k).fill(0);
  const sizes = new Array<number>(k).fill(0);
  labels.forEach((l, p) => {
    sums[l] += y[p];
    sizes[l]++;
  });
  return Math.max(...sums.map((_, l) => (l === 0 ? 0 : scaled(l, sums, sizes))));
};

describe('repeated intervals of a pair', () => {
  it('hold at what their look spends; few exchanges give no ends', () => {
    const { labels, strata } = blocksOf(2, 10);
    const layouts: LayoutSet = { kind: 'strata', strata };
    const y = rounds(createRandom(8), 20, 3);
    const looks = [{ y: y[0], spent: 0.0001 }, { spent: 0.001 }, { y: y[2], spent: 0.05 }];
    const [first, second, third] = pairIntervalsOfLooks({
      ...{ looks, labels, layouts, treatment: 1, control: 0, seed: 1 },
    });
    expect(first).toMatchObject({ low: null, high: null, reason: 'too-few-layouts' });
    expect(second).toBeUndefined();
    expect(third!.low! < third!.estimate! && third!.estimate! < third!.high!).toBe(true);
  });
});
