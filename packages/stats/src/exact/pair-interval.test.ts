import { describe, expect, it } from 'vitest';
import { createRandom } from '../random';
import type { LayoutSet } from './layout-set';
import { pairInterval } from './pair-interval';

const shiftTolerance = 1e-7;

const request = (
  y: Float64Array,
  labels: number[],
  strata: number[][],
  more: { alpha?: number; maxLayouts?: number; draws?: number } = {},
) => ({
  y,
  labels: Uint8Array.from(labels),
  layouts: { kind: 'strata', strata } satisfies LayoutSet,
  treatment: 1,
  control: 0,
  alpha: 0.05,
  random: createRandom(1),
  ...more,
});

/** p of "y - d on the treated plots equals the control", by walking all exchanges of labels 0 and 1 anew. */
const slowP = (y: Float64Array, labels: number[], strata: number[][], d: number): number => {
  const shifted = y.map((v, p) => (labels[p] === 1 ? v - d : v));
  const groups = strata.map((s) => s.filter((p) => labels[p] < 2 && !Number.isNaN(y[p])));
  const statistic = (now: readonly number[]): number => {
    let sum = 0;
    let weights = 0;
    for (const group of groups) {
      const a = group.filter((p) => now[p] === 1);
      const b = group.filter((p) => now[p] === 0);
      if (a.length === 0 || b.length === 0) continue;
      const mean = (ps: number[]) => ps.reduce((s, p) => s + shifted[p], 0) / ps.length;
      const w = (a.length * b.length) / (a.length + b.length);
      sum += w * (mean(a) - mean(b));
      weights += w;
    }
    return Math.abs(sum / weights);
  };
  const drawn = statistic(labels);
  let all = 0;
  let extreme = 0;
  const walk = (g: number, now: number[]): void => {
    if (g === groups.length) {
      all++;
      if (statistic(now) >= drawn - 1e-9) extreme++;
      return;
    }
    const group = groups[g];
    for (let bits = 0; bits < 2 ** group.length; bits++) {
      const next = now.slice();
      group.forEach((p, i) => (next[p] = (bits >> i) & 1));
      const ones = (l: number[]) => group.filter((p) => l[p] === 1).length;
      if (ones(next) === ones(labels)) walk(g + 1, next);
    }
  };
  walk(0, labels);
  return extreme / all;
};

const blocks = (k: number, b: number) => ({
  labels: Array.from({ length: k * b }, (_, i) => i % k),
  strata: Array.from({ length: b }, (_, s) => Array.from({ length: k }, (_, i) => s * k + i)),
});

describe('interval by exchanging two labels', () => {
  const designs = [
    { name: '3 treatments in 7 blocks', ...blocks(3, 7) },
    {
      name: 'one stratum of 5 and 4',
      labels: [0, 1, 0, 1, 0, 1, 0, 1, 0],
      strata: [[0, 1, 2, 3, 4, 5, 6, 7, 8]],
    },
    {
      name: 'unlike strata',
      labels: [0, 0, 1, 0, 1, 1, 1, 0, 1, 0],
      strata: [
        [0, 1, 2],
        [3, 4, 5],
        [6, 7, 8, 9],
      ],
    },
  ];
  for (const { name, labels, strata } of designs)
    for (const lost of [-1, 4])
      it(`ends where the test starts to reject: ${name}, lost plot ${lost}`, () => {
        const random = createRandom(labels.length);
        const y = Float64Array.from(labels, (l, p) => (p === lost ? NaN : 3 * l + random.normal()));
        const found = pairInterval(request(y, labels, strata));
        const { low, high, estimate } = found;
        if (low === null || high === null || estimate === null) throw new Error('unbounded');
        expect(found.enumerated).toBe(true);
        expect(found.p).toBeCloseTo(slowP(y, labels, strata, 0), 12);
        expect(low).toBeLessThan(estimate);
        expect(high).toBeGreaterThan(estimate);
        expect(slowP(y, labels, strata, estimate)).toBe(1);
        for (const [end, out] of [
          [low, -1],
          [high, 1],
        ]) {
          expect(slowP(y, labels, strata, end - out * shiftTolerance)).toBeGreaterThan(0.05);
          expect(slowP(y, labels, strata, end + out * shiftTolerance)).toBeLessThanOrEqual(0.05);
        }
      });

  it('has the smallest and largest difference as ends with six pairs', () => {
    // 2^6 = 64: only shifts beyond all six differences are rejected (p = 2/64).
    const differences = [1.5, -0.25, 3, 2, 4.75, 0.5];
    const { labels, strata } = blocks(2, 6);
    const y = Float64Array.from(differences.flatMap((d, i) => [i, i + d]));
    const found = pairInterval(request(y, labels, strata));
    expect(found.low).toBeCloseTo(-0.25, 10);
    expect(found.high).toBeCloseTo(4.75, 10);
    expect(found.layouts).toBe(64);
  });

  it('says when four or five blocks are too few, and how far six go', () => {
    for (const b of [4, 5]) {
      const { labels, strata } = blocks(3, b);
      const y = Float64Array.from(labels, (l, p) => l * 10 + Math.sin(p));
      const found = pairInterval(request(y, labels, strata));
      expect(found).toMatchObject({ low: null, high: null, reason: 'too-few-layouts' });
      expect(found.p).toBe(2 / 2 ** b);
    }
  });

  it('has no answer where the two never share a stratum', () => {
    const found = pairInterval(
      request(
        Float64Array.of(1, 2, 3, 4),
        [0, 2, 1, 2],
        [
          [0, 1],
          [2, 3],
        ],
      ),
    );
    expect(found).toMatchObject({ estimate: null, p: null, reason: 'never-together' });
  });

  it('samples towards the enumerated ends when there are many exchanges', () => {
    const { labels, strata } = blocks(2, 12);
    const random = createRandom(2);
    const y = Float64Array.from(labels, (l) => l + random.normal());
    const whole = pairInterval(request(y, labels, strata));
    const draws = 20_000;
    const some = pairInterval(request(y, labels, strata, { maxLayouts: 100, draws }));
    expect(some.enumerated).toBe(false);
    expect(some.layouts).toBe(draws + 1);
    // The sampled end is an enumerated end at a level within four standard errors of 5 %.
    const error = 4 * Math.sqrt((0.05 * 0.95) / draws);
    const wide = pairInterval(request(y, labels, strata, { alpha: 0.05 - error }));
    const narrow = pairInterval(request(y, labels, strata, { alpha: 0.05 + error }));
    expect(some.low).toBeGreaterThanOrEqual(wide.low ?? Infinity);
    expect(some.low).toBeLessThanOrEqual(narrow.low ?? -Infinity);
    expect(some.high).toBeLessThanOrEqual(wide.high ?? -Infinity);
    expect(some.high).toBeGreaterThanOrEqual(narrow.high ?? Infinity);
    expect(whole.layouts).toBe(4096);
  });

  it('walks only the exchanges a list holds', () => {
    const labels = [0, 1, 2, 1, 0, 2];
    const rows = [
      labels,
      [1, 0, 2, 1, 0, 2],
      [0, 1, 2, 0, 1, 2],
      [1, 0, 2, 0, 1, 2],
      [2, 1, 0, 1, 0, 2],
    ];
    const found = pairInterval({
      ...request(Float64Array.of(1, 4, 9, 6, 2, 9), labels, []),
      layouts: { kind: 'list', labels: Uint8Array.from(rows.flat()), count: rows.length },
    });
    expect(found.layouts).toBe(4);
    // Differences of means: 3.5 as drawn, -3.5 all exchanged, +-0.5 between: 2 of 4.
    expect(found.estimate).toBe(3.5);
    expect(found.p).toBe(0.5);
  });
});
