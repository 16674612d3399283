import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Place, walkLength, walkOrder } from './walk';
import { exactWalk, lengthOf } from './walk-exact';
import { improvedWalk, nearestWalk } from './walk-improve';

/** Metres by which sums of square roots may differ with their order. */
const rounding = 1e-9;

const points = (min: number, max: number) =>
  fc.array(fc.record({ x: fc.integer({ min: 0, max: 40 }), y: fc.integer({ min: 0, max: 40 }) }), {
    minLength: min,
    maxLength: max,
  });

const isEachOnce = (order: readonly number[], n: number): void =>
  expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));

/** Shortest of all orders, each walked. */
function shortestByTrying(places: readonly Place[], start?: Place): number {
  let shortest = Infinity;
  const visit = (order: number[], left: readonly number[]): void => {
    if (left.length === 0) shortest = Math.min(shortest, walkLength(places, order, start));
    left.forEach((i) =>
      visit(
        [...order, i],
        left.filter((k) => k !== i),
      ),
    );
  };
  visit(
    [],
    places.map((_, i) => i),
  );
  return shortest;
}

const grid = (columns: number, rows: number): Place[] =>
  Array.from({ length: columns * rows }, (_, i) => ({
    x: i % columns,
    y: Math.floor(i / columns),
  }));

/** A fixed shuffle: places must not come in the order of a good walk. */
const shuffled = <T>(list: readonly T[]): T[] =>
  list
    .map((one, i) => ({ one, key: ((i * 7919 + 13) % 104729) % 97 }))
    .sort((a, b) => a.key - b.key)
    .map(({ one }) => one);

function* everyRowWalk(places: readonly Place[]) {
  for (const [first, second] of [
    ['x', 'y'],
    ['y', 'x'],
  ] as const) {
    yield places
      .map((_, i) => i)
      .sort((a, b) => places[a][first] - places[b][first] || places[a][second] - places[b][second]);
  }
}

describe('a walk past few places', () => {
  it('is the shortest of all orders, from anywhere or from a gate', () => {
    fc.assert(
      fc.property(points(1, 7), fc.boolean(), (places, hasGate) => {
        const gate = hasGate ? { x: -3, y: 5 } : undefined;
        const order = walkOrder(places, gate);
        isEachOnce(order, places.length);
        const found = walkLength(places, order, gate);
        expect(Math.abs(found - shortestByTrying(places, gate))).toBeLessThan(rounding);
      }),
      { numRuns: 60, seed: 11 },
    );
  });

  it('is the shortest of all 40,320 orders of eight places', () => {
    const places = [
      [0, 0],
      [9, 1],
      [3, 7],
      [8, 8],
      [1, 4],
      [5, 5],
      [6, 0],
      [2, 9],
    ].map(([x, y]) => ({ x, y }));
    expect(Math.abs(walkLength(places, walkOrder(places)) - shortestByTrying(places))).toBeLessThan(
      rounding,
    );
  });

  it('is nothing for no place and the place itself for one', () => {
    expect(walkOrder([])).toEqual([]);
    expect(walkOrder([{ x: 1, y: 2 }])).toEqual([0]);
    expect(walkLength([], [])).toBe(0);
  });

  it('goes by the middles of plots', () => {
    const plots = [
      { x: 0, y: 0, width: 10, height: 1 },
      { x: 4, y: 3, width: 2, height: 1 },
    ];
    expect(walkLength(plots, [0, 1])).toBe(3);
  });
});

describe('a walk past many places', () => {
  it.each([
    [5, 4],
    [10, 6],
    [4, 15],
    [25, 1],
    [12, 12],
  ])('past a grid of %d x %d has the length known to be the shortest', (columns, rows) => {
    // n places at least 1 m apart need n - 1 steps of at least 1 m; a turning walk needs no more.
    const places = shuffled(grid(columns, rows));
    const order = walkOrder(places);
    isEachOnce(order, places.length);
    expect(walkLength(places, order)).toBeCloseTo(columns * rows - 1, 9);
  });

  it('is never longer than row by row or as given, and is always the same', () => {
    fc.assert(
      fc.property(points(13, 40), (places) => {
        const order = walkOrder(places);
        isEachOnce(order, places.length);
        const length = walkLength(places, order);
        for (const walk of [...everyRowWalk(places), places.map((_, i) => i)]) {
          expect(length).toBeLessThanOrEqual(walkLength(places, walk) + rounding);
        }
        expect(walkOrder(structuredClone(places))).toEqual(order);
      }),
      { numRuns: 60, seed: 12 },
    );
  });

  it('begins near the gate', () => {
    const places = shuffled(grid(6, 5));
    const gate = { x: 5, y: -2 };
    const order = walkOrder(places, gate);
    // 2 m from the gate to the nearest corner, then one step a plot: no walk can be shorter.
    expect(walkLength(places, order, gate)).toBeCloseTo(2 + 29, 9);
  });
});

describe('the two ways to find a walk', () => {
  const distances = (places: readonly Place[]) => ({
    n: places.length,
    between: Float64Array.from(
      places.flatMap((a) => places.map((b) => Math.hypot(a.x - b.x, a.y - b.y))),
    ),
    from: new Float64Array(places.length),
  });

  it('agree: shortening ends at the shortest walk or little above it, never below', () => {
    const excess: number[] = [];
    fc.assert(
      fc.property(points(9, 11), (places) => {
        const d = distances(places);
        const best = lengthOf(exactWalk(d), d);
        const tries = places.map((_, i) => lengthOf(improvedWalk(nearestWalk(i, d), d), d));
        const found = Math.min(...tries);
        expect(found).toBeGreaterThanOrEqual(best - rounding);
        if (best > 0) excess.push(found / best - 1);
      }),
      { numRuns: 60, seed: 13 },
    );
    expect(Math.max(...excess)).toBeLessThan(0.05);
    expect(excess.filter((e) => e < 1e-9).length / excess.length).toBeGreaterThan(0.9);
  });
});
