import { describe, expect, it } from 'vitest';
import { smallDesigns } from '../../oracle/small-designs';
import { slowStatistics } from '../../oracle/slow-layouts';
import { createRandom } from '../random';
import { jointRelabelings } from './joint-relabelings';

const closedForm = 1e-9;

const sorted = (rows: readonly (readonly number[])[]): number[][] =>
  rows
    .map((row) => row.map((x) => Math.round(x * 1e6) / 1e6 + 0))
    .sort((a, b) => a.reduce((sign, x, i) => sign || x - b[i], 0));

describe('statistics of several outcomes over the same layouts', () => {
  for (const design of smallDesigns) {
    const { name, labels, treatments, layouts, factors, all } = design;
    const random = createRandom(9);
    const outcome = (scale: number): Float64Array =>
      Float64Array.from(labels, (l) => scale * (random.normal() + l));
    const gone = outcome(1).map((x, p) => (p === 3 ? NaN : x));
    const request = { labels, treatments, layouts, blocks: factors, control: 0, seed: 1 };
    /** In a split plot every statistic is over its root mean square, known to a few in a hundred. */
    const evened = (drawn: number[], observed: Float64Array, rows: number[][]) => {
      const isSplit = layouts.kind === 'draw';
      const factors = drawn.map((x, i) => (isSplit ? observed[i] / x : 1));
      const even = rows.map((row) => row.map((x, i) => x * factors[i]));
      const squares = drawn.map((_, i) =>
        even.reduce((s, row) => s + row[i] ** 2 / even.length, 0),
      );
      if (isSplit) for (const mean of squares) expect(Math.abs(mean - 1)).toBeLessThan(0.1);
      return { drawn: drawn.map((x, i) => x * factors[i]), all: even };
    };
    const slow = (values: readonly Float64Array[], layout: Uint8Array): number[] =>
      values.flatMap((y) => slowStatistics(y, layout, { k: treatments, control: 0, factors }));

    it(`visits every layout of the ${name} once, with least-squares statistics`, () => {
      const values = [outcome(1), outcome(1000)];
      const rows: number[][] = [];
      const result = jointRelabelings({ ...request, values }, (z) => rows.push([...z]));
      expect(result.enumerated).toBe(true);
      expect(result.total).toBe(BigInt(all.length));
      expect(rows.length).toBe(all.length);
      const found = evened(
        slow(values, labels),
        result.observed,
        all.map((layout) => slow(values, layout)),
      );
      expect(sorted(rows)).toEqual(sorted(found.all));
      found.drawn.forEach((x, i) => {
        expect(Math.abs(result.observed[i] - x)).toBeLessThan(closedForm);
        expect(result.limits[i]).toBeLessThanOrEqual(Math.abs(x));
        expect(result.limits[i]).toBeGreaterThan(Math.abs(x) - 1e-6);
      });
    });

    it(`does so with a plot lost in one outcome of the ${name}`, () => {
      const values = [outcome(1), gone];
      const rows: number[][] = [];
      const { observed } = jointRelabelings({ ...request, values }, (z) => rows.push([...z]));
      const found = evened(
        slow(values, labels),
        observed,
        all.map((layout) => slow(values, layout)),
      );
      expect(sorted(rows)).toEqual(sorted(found.all));
    });
  }

  it('gives every outcome the same mean square, whatever its unit', () => {
    const { labels, treatments, layouts } = smallDesigns[2];
    const values = [1, 1e-6, 250].map((unit) =>
      Float64Array.from(labels, (_, p) => unit * Math.sin(p * p * unit)),
    );
    const sums = new Float64Array(6);
    const { visits } = jointRelabelings(
      { labels, treatments, layouts, values, control: 1, seed: 1 },
      (z) => z.forEach((x, i) => (sums[i] += x * x)),
    );
    for (const sum of sums) expect(sum / visits).toBeCloseTo(1, 9);
  });

  it('draws at random where there are too many, by tables and by labels, the same for a seed', () => {
    for (const design of smallDesigns.slice(0, 3)) {
      const { labels, treatments, layouts, factors } = design;
      const y = Float64Array.from(labels, (l, p) => Math.sin(3 * p) + l);
      const request = { labels, treatments, layouts, blocks: factors, control: 0, seed: 5 };
      for (const values of [[y], [y.map((x, p) => (p === 1 ? NaN : x))]]) {
        const share = (seed: number, maxLayouts: number): number => {
          let hits = 0;
          const result = jointRelabelings(
            { ...request, values, seed, maxLayouts, draws: 20_000 },
            (z) => (hits += z[1] >= 0.5 ? 1 : 0),
          );
          expect(result.enumerated).toBe(maxLayouts > 1);
          return hits / result.visits;
        };
        const whole = share(1, 10_000);
        // Monte Carlo: four standard errors.
        expect(Math.abs(share(1, 1) - whole)).toBeLessThan(
          4 * Math.sqrt((whole * (1 - whole)) / 20_000),
        );
        expect(share(2, 1)).toBe(share(2, 1));
      }
    }
  });

  it('gives an outcome without spread the statistic 0, which everything reaches', () => {
    const { labels, treatments, layouts } = smallDesigns[2];
    const values = [Float64Array.from(labels, (_, p) => Math.floor(p / 3) * 0.1)];
    const result = jointRelabelings(
      { labels, treatments, layouts, values, control: 0, seed: 1 },
      (z) => expect([...z]).toEqual([0, 0]),
    );
    expect([...result.spreads]).toEqual([0]);
    for (const limit of result.limits) expect(limit).toBeLessThan(0);
  });

  it('names what does not fit together', () => {
    const { labels, treatments, layouts } = smallDesigns[0];
    const values = [new Float64Array(labels.length)];
    const request = { labels, treatments, layouts, values, control: 0, seed: 1 };
    const visit = (): void => undefined;
    expect(() => jointRelabelings({ ...request, values: [] }, visit)).toThrow(/got none/);
    expect(() => jointRelabelings({ ...request, control: 3 }, visit)).toThrow(/got 3/);
    expect(() => jointRelabelings({ ...request, treatments: 4 }, visit)).toThrow(/all of 0 to 3/);
    expect(() => jointRelabelings({ ...request, values: [new Float64Array(2)] }, visit)).toThrow(
      /equally many; got 6 and 2/,
    );
  });
});
