import { describe, expect, it } from 'vitest';
import { smallDesigns } from '../../oracle/small-designs';
import { blocksOf, cycle, slowStatistics } from '../../oracle/slow-layouts';
import { createRandom } from '../random';
import { pairInterval } from './pair-interval';
import { shiftInterval, type ShiftRequest } from './shift-interval';

const step = 1e-6;

describe('interval by inverting the test of the whole draw', () => {
  for (const { name, labels, treatments, layouts, factors, all } of smallDesigns) {
    const random = createRandom(3);
    const y = Float64Array.from(labels, (l) => (l === 1 ? 4 : 0) + random.normal());
    const request: ShiftRequest = {
      y,
      labels,
      treatments,
      layouts,
      blocks: factors,
      control: 0,
      treatment: 1,
      alpha: 0.3,
      seed: 1,
    };
    /** Share of layouts as extreme as the drawn one once the shift is taken off, the slow way. */
    const slowP = (shift: number): number => {
      const shifted = y.map((v, p) => (labels[p] === 1 ? v - shift : v));
      const size = (layout: Uint8Array): number =>
        Math.abs(slowStatistics(shifted, layout, { k: treatments, control: 0, factors })[0]);
      const drawn = size(labels) * (1 - 1e-9) - 1e-12;
      return all.filter((layout) => size(layout) >= drawn).length / all.length;
    };

    it(`ends where the test begins to reject: ${name}`, () => {
      const { low, high, estimate, enumerated, reason } = shiftInterval(request);
      expect(enumerated).toBe(true);
      if (low === null || high === null || estimate === null) {
        // Unbounded: even far away it is not rejected.
        expect(reason).toBe('too-few-layouts');
        expect(Math.max(slowP(1e5), slowP(-1e5))).toBeGreaterThan(0.3);
        return;
      }
      expect(slowP(estimate)).toBe(1);
      for (const [end, out] of [
        [low, -step],
        [high, step],
      ]) {
        expect(slowP(end - out)).toBeGreaterThan(0.3);
        expect(slowP(end + out)).toBeLessThanOrEqual(0.3);
      }
    });
  }

  it('is the interval by exchanges where there are only two treatments', () => {
    const random = createRandom(8);
    const labels = cycle(2, 8);
    const y = Float64Array.from(labels, (l) => 2 * l + random.normal());
    const shared = { y, labels, layouts: blocksOf(2, 8), treatment: 1, control: 0, alpha: 0.05 };
    const ours = shiftInterval({ ...shared, treatments: 2, seed: 1 });
    const pair = pairInterval({ ...shared, random });
    expect(ours.low).toBeCloseTo(pair.low ?? NaN, 10);
    expect(ours.high).toBeCloseTo(pair.high ?? NaN, 10);
    expect(ours.layouts).toBe(256);
  });

  it('has ends with four blocks of four, where exchanges of two treatments have none', () => {
    const random = createRandom(5);
    const labels = cycle(4, 4);
    const y = Float64Array.from(labels, (l) => (l === 2 ? -6 : 0) + random.normal());
    const request = { y, labels, layouts: blocksOf(4, 4), treatments: 4, treatment: 2, control: 0 };
    const found = shiftInterval({ ...request, alpha: 0.05, seed: 1 });
    expect([found.enumerated, found.layouts]).toEqual([false, 50_000]);
    expect(found.low).toBeLessThan(found.estimate ?? NaN);
    expect(found.high).toBeGreaterThan(found.estimate ?? NaN);
    expect((found.high ?? NaN) - (found.low ?? NaN)).toBeLessThan(8);
  });

  it('covers the effect in at least 90 of 100 draws, each layout taken as the drawn one', () => {
    const { labels, treatments, layouts, all } = smallDesigns[2];
    const random = createRandom(21);
    const blank = Float64Array.from(labels, () => random.normal());
    const request = { layouts, treatments, treatment: 1, control: 0, alpha: 0.1, seed: 1 };
    const covered = all.filter((drawn) => {
      const y = blank.map((v, p) => (drawn[p] === 1 ? v + 3 : v));
      const { low, high } = shiftInterval({ ...request, y, labels: drawn });
      return (low ?? -Infinity) <= 3 + 1e-9 && (high ?? Infinity) >= 3 - 1e-9;
    });
    expect(covered.length / all.length).toBeGreaterThanOrEqual(0.9);
  });

  it('says when the two can’t be compared', () => {
    const apart = shiftInterval({
      y: Float64Array.of(1, 2, 3, 4),
      labels: Uint8Array.of(0, 2, 1, 3),
      layouts: {
        kind: 'strata',
        strata: [
          [0, 1],
          [2, 3],
        ],
      },
      treatments: 4,
      treatment: 1,
      control: 0,
      alpha: 0.05,
      seed: 1,
    });
    expect(apart).toMatchObject({ estimate: null, reason: 'never-together' });
  });
});
