import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { walkPlants } from './plant-walk';
import { plantsIn } from './plants';

const plot = { x: 2, y: 3, width: 1.2, height: 2 };

const planted = (...args: Parameters<typeof plantsIn>) => {
  const answer = plantsIn(...args);
  if (!answer.ok) throw new Error(answer.problem.what);
  return answer;
};

describe('plants of a plot', () => {
  it('stand in rows along its longer side, centred', () => {
    const { plants, rows, perRow, scored, guards } = planted(plot, { plants: 0.4, rows: 0.3 });
    expect({ rows, perRow, scored, guards }).toEqual({ rows: 4, perRow: 5, scored: 20, guards: 0 });
    // Half a spacing from the edges: 2 + 0.15 and 3 + 0.2; up the first row, down the second.
    expect(plants[0]).toMatchObject({ x: 2.15, y: 3.2, row: 1, number: 1 });
    expect(plants[4]).toMatchObject({ x: 2.15, y: 4.8 });
    expect(plants[5]).toMatchObject({ x: 2.45, y: 4.8, row: 2, number: 6 });
  });

  it('are guards in the outer rows and at the row ends', () => {
    const { plants, scored, guards } = planted(plot, { plants: 0.4, rows: 0.3, guardRows: 1 });
    expect({ scored, guards }).toEqual({ scored: 6, guards: 14 });
    expect(plants.filter((p) => p.row === 1 || p.row === 4).every((p) => p.use === 'guard')).toBe(
      true,
    );
    const ends = planted(plot, { plants: 0.4, rows: 0.3, guardRows: 1, guardPlants: 0 });
    expect(ends.scored).toBe(10);
  });

  it('are spread evenly where only some are scored', () => {
    const { plants, scored } = planted(plot, { plants: 0.4, rows: 0.3, score: 5 });
    expect(scored).toBe(5);
    const at = plants.flatMap((p, i) => (p.use === 'scored' ? [i] : []));
    expect(at).toEqual([2, 6, 10, 14, 18]);
    expect(planted(plot, { plants: 0.4, rows: 0.3, score: 99 }).scored).toBe(20);
  });

  it('keep their distances, inside the plot, whatever the plot', () => {
    const cm = (from: number, to: number) => fc.integer({ min: from, max: to }).map((n) => n / 100);
    const plots = fc.record({
      x: cm(0, 500),
      y: cm(0, 500),
      width: cm(30, 400),
      height: cm(30, 400),
    });
    const spacings = fc.record({
      plants: cm(10, 80),
      rows: cm(10, 80),
      guardRows: fc.integer({ min: 0, max: 1 }),
      rowsRun: fc.constantFrom(undefined, 'east' as const, 'north' as const),
    });
    fc.assert(
      fc.property(plots, spacings, (own, spacing) => {
        const answer = plantsIn(own, spacing);
        if (!answer.ok) {
          expect(answer.problem.code).toBe('only-guards');
          return;
        }
        const { plants, scored, guards } = answer;
        expect(scored + guards).toBe(plants.length);
        const close = Math.min(spacing.plants, spacing.rows) - 1e-4;
        plants.forEach((a, i) => {
          expect(a.x).toBeGreaterThan(own.x);
          expect(a.x).toBeLessThan(own.x + own.width);
          expect(a.y).toBeGreaterThan(own.y);
          expect(a.y).toBeLessThan(own.y + own.height);
          for (const b of plants.slice(i + 1)) {
            expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThan(close);
          }
        });
      }),
      { numRuns: 200, seed: 21 },
    );
  });

  it.each([
    ['only-guards', { plants: 0.4, rows: 0.3, guardRows: 2 }],
    ['plant-spacing', { plants: 0, rows: 0.3 }],
    ['plant-count', { plants: 0.4, rows: 0.3, score: 0 }],
    ['too-many-plants', { plants: 0.01, rows: 0.01 }],
  ])('%s is said in words', (code, spacing) => {
    expect(plantsIn(plot, spacing)).toMatchObject({ ok: false, problem: { code } });
  });
});

describe('a walk past the plants of all plots', () => {
  const six = [0, 1, 2, 3, 4, 5].map((i) => {
    const place = { x: (i % 3) * 1.5, y: Math.floor(i / 3) * 2.5, width: 1.2, height: 2 };
    return { place, plants: planted(place, { plants: 0.4, rows: 0.6 }).plants };
  });

  const lengthOf = (plots: typeof six, walk: ReturnType<typeof walkPlants>): number => {
    const points = walk.flatMap(({ plot: p, plants }) => plants.map((i) => plots[p].plants[i]));
    return points
      .slice(1)
      .reduce((sum, at, i) => sum + Math.hypot(at.x - points[i].x, at.y - points[i].y), 0);
  };

  it('passes every plant once, plot by plot', () => {
    const walk = walkPlants(six);
    expect(walk.map(({ plot: p }) => p).sort()).toEqual([0, 1, 2, 3, 4, 5]);
    for (const { plot: p, plants } of walk) {
      expect([...plants].sort((a, b) => a - b)).toEqual(six[p].plants.map((_, i) => i));
    }
  });

  it('enters each plot where the walk is shortest, against every choice tried', () => {
    // Two plots with four plants each: every pair of orders of their plants that goes row by row.
    const place = (x: number) => ({ x, y: 0, width: 1, height: 1 });
    const two = [0, 3].map((x) => ({
      place: place(x),
      plants: [
        [0.2, 0.2],
        [0.2, 0.8],
        [0.8, 0.8],
        [0.8, 0.2],
      ].map(([dx, dy]) => ({ x: x + dx, y: dy })),
    }));
    // Three steps of 0.6 m in either plot, and 3 - 0.6 m from the inner row to the inner row.
    const walk = walkPlants(two);
    expect(lengthOf(two as unknown as typeof six, walk)).toBeCloseTo(6 * 0.6 + 2.4, 9);
  });

  it('is no longer than the plots walked the same way each', () => {
    const walk = walkPlants(six);
    const alike = walk.map(({ plot: p }) => ({ plot: p, plants: six[p].plants.map((_, i) => i) }));
    expect(lengthOf(six, walk)).toBeLessThanOrEqual(lengthOf(six, alike));
  });

  it('goes past a plot without plants, and begins near the gate', () => {
    const bare = [...six, { place: { x: 9, y: 9 }, plants: [] }];
    expect(walkPlants(bare).find(({ plot: p }) => p === 6)?.plants).toEqual([]);
    const [first] = walkPlants(six, { x: 4.5, y: 5 });
    expect(first.plot).toBe(5);
    // Its nearest plant to the north-east corner is the first.
    expect(six[5].plants[first.plants[0]]).toMatchObject({ x: 3.9, y: 4.3 });
  });
});
