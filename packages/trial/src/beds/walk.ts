import { type Distances, exactWalk, lengthOf } from './walk-exact';
import { improvedWalk, nearestWalk } from './walk-improve';

/** A point in the garden or, with sides, a plot, which is walked past at its middle; metres. */
export type Place = {
  readonly x: number;
  readonly y: number;
  readonly width?: number | undefined;
  readonly height?: number | undefined;
};

type Point = { readonly x: number; readonly y: number };

/** Up to so many places the shortest walk is found for certain. */
export const exactUpTo = 12;
/** Walks from their nearest neighbours that are tried. */
const nearestWalks = 8;
/** Of all walks tried, so many of the shortest are shortened; more gain little and cost time. */
const shortenedWalks = 4;

const pointOf = ({ x, y, width = 0, height = 0 }: Place): Point => ({
  x: x + width / 2,
  y: y + height / 2,
});

const apart = (a: Point, b: Point): number => Math.hypot(a.x - b.x, a.y - b.y);

function distancesOf(points: readonly Point[], start: Point | undefined): Distances {
  const n = points.length;
  const between = new Float64Array(n * n);
  points.forEach((a, i) => {
    for (let j = i + 1; j < n; j++) {
      const b = points[j];
      if (b) between[i * n + j] = between[j * n + i] = apart(a, b);
    }
  });
  return { n, between, from: Float64Array.from(points, (p) => (start ? apart(start, p) : 0)) };
}

/** Points sorted into rows (of what lies within `width` of the row's first), every other one back. */
function rowByRow(points: readonly Point[], axis: 'x' | 'y', turns: boolean): number[] {
  const other = axis === 'x' ? 'y' : 'x';
  const at = (i: number): Point => points[i] ?? { x: 0, y: 0 };
  const sorted = points.map((_, i) => i).sort((a, b) => at(a)[axis] - at(b)[axis] || a - b);
  const rows: number[][] = [];
  for (const i of sorted) {
    const row = rows.at(-1);
    if (row && at(i)[axis] - at(row[0] ?? i)[axis] < 1e-6) row.push(i);
    else rows.push([i]);
  }
  return rows.flatMap((row, k) => {
    const back = turns && k % 2 === 1 ? -1 : 1;
    return row.sort((a, b) => back * (at(a)[other] - at(b)[other]) || a - b);
  });
}

/** Row by row both ways, as given, and by nearest neighbours. */
function firstTries(points: readonly Point[], distances: Distances): number[][] {
  const rows = (['x', 'y'] as const).flatMap((axis) =>
    [true, false].flatMap((turns) => {
      const walk = rowByRow(points, axis, turns);
      return [walk, [...walk].reverse()];
    }),
  );
  const { n, from } = distances;
  const nearestFirst = points
    .map((_, i) => i)
    .sort((a, b) => (from[a] ?? 0) - (from[b] ?? 0) || a - b);
  // Spread over all places where the walk may start anywhere, else the places nearest the start.
  const isFree = from.every((way) => way === 0);
  const gap = isFree ? Math.max(1, Math.floor(n / nearestWalks)) : 1;
  const seeds = nearestFirst.filter((_, k) => k % gap === 0).slice(0, nearestWalks);
  return [points.map((_, i) => i), ...rows, ...seeds.map((i) => nearestWalk(i, distances))];
}

/**
 * The shortest open walk past all places, as their indices in the order to walk them; with `start`
 * (a gate, say) the way from there to the first place counts too.
 *
 * Certain up to 12 places. Above that, the shortest few of the walks row by row and from nearest
 * neighbours are shortened by 2-opt and Or-opt and the best is taken: never longer than row by row or as given, as a
 * rule within a few per cent of the shortest. The same places always give the same walk.
 */
export function walkOrder(places: readonly Place[], start?: Point): number[] {
  const points = places.map(pointOf);
  const distances = distancesOf(points, start);
  if (points.length <= exactUpTo) return points.length === 0 ? [] : exactWalk(distances);
  const tries = firstTries(points, distances)
    .map((walk) => ({ walk, length: lengthOf(walk, distances) }))
    .sort((a, b) => a.length - b.length);
  let best: number[] = [];
  let shortest = Infinity;
  for (const { walk } of tries.slice(0, shortenedWalks)) {
    const order = improvedWalk(walk, distances);
    const length = lengthOf(order, distances);
    if (length < shortest - 1e-9) {
      best = order;
      shortest = length;
    }
  }
  return best;
}

/** Metres of a walk past places in this order; with `start`, the way from there as well. */
export function walkLength(
  places: readonly Place[],
  order: readonly number[],
  start?: Point,
): number {
  const points = places.map(pointOf);
  return order.length === 0 ? 0 : lengthOf(order, distancesOf(points, start));
}
