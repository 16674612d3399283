import type { LayoutSet } from '../src/exact/layout-set';
import { latinSquares, reachable, withinEach } from './slow-layouts';

// Small trials of every kind, each with all its layouts found the plainest way.

export type SmallDesign = {
  readonly name: string;
  readonly labels: Uint8Array;
  readonly treatments: number;
  readonly layouts: LayoutSet;
  readonly factors: readonly ArrayLike<number>[];
  readonly all: readonly Uint8Array[];
};

const codesOf = (lists: readonly (readonly number[])[], n: number): Int32Array => {
  const codes = new Int32Array(n);
  lists.forEach((list, s) => list.forEach((p) => (codes[p] = s)));
  return codes;
};

const inStrata = (name: string, strata: number[][], drawn: number[]): SmallDesign => {
  const labels = Uint8Array.from(drawn);
  return {
    name,
    labels,
    treatments: Math.max(...drawn) + 1,
    layouts: { kind: 'strata', strata },
    factors: strata.length > 1 ? [codesOf(strata, drawn.length)] : [],
    all: reachable(labels, withinEach(strata)),
  };
};

const square = (order: number): SmallDesign => {
  const all = latinSquares(order);
  const list = new Uint8Array(all.length * order * order);
  all.forEach((layout, i) => list.set(layout, i * order * order));
  const places = Array.from({ length: order * order }, (_, p) => p);
  return {
    name: `Latin square of order ${order}`,
    labels: all[5],
    treatments: order,
    layouts: { kind: 'list', labels: list, count: all.length },
    factors: [places.map((p) => Math.floor(p / order)), places.map((p) => p % order)],
    all,
  };
};

/** Blocks of whole plots of `size` plots each, in order. */
const splitPlot = (name: string, groups: number[][][], drawn: number[]): SmallDesign => {
  const labels = Uint8Array.from(drawn);
  const whole = groups.flatMap((group) =>
    group.flatMap((w, i) => group.slice(i + 1).map((v): [number[], number[]] => [w, v])),
  );
  return {
    name,
    labels,
    treatments: Math.max(...drawn) + 1,
    layouts: {
      kind: 'draw',
      wholePlots: groups,
      draw: () => {
        throw new Error('few enough to visit all');
      },
    },
    factors:
      groups.length > 1
        ? [
            codesOf(
              groups.map((group) => group.flat()),
              drawn.length,
            ),
          ]
        : [],
    all: reachable(labels, [...whole, ...withinEach(groups.flat())]),
  };
};

const SPLIT = [
  [
    [0, 1],
    [2, 3],
  ],
  [
    [4, 5],
    [6, 7],
  ],
  [
    [8, 9],
    [10, 11],
  ],
];

export const smallDesigns: readonly SmallDesign[] = [
  inStrata('completely randomised', [[0, 1, 2, 3, 4, 5]], [0, 0, 1, 1, 2, 2]),
  inStrata('completely randomised, unequal', [[0, 1, 2, 3, 4, 5, 6]], [0, 0, 0, 1, 1, 2, 2]),
  inStrata(
    '3 treatments in 3 blocks',
    [
      [0, 1, 2],
      [3, 4, 5],
      [6, 7, 8],
    ],
    [0, 1, 2, 0, 1, 2, 2, 1, 0],
  ),
  inStrata(
    'control twice in each block',
    [
      [0, 1, 2, 3],
      [4, 5, 6, 7],
    ],
    [0, 0, 1, 2, 0, 1, 0, 2],
  ),
  inStrata(
    'incomplete blocks',
    [
      [0, 1],
      [2, 3],
      [4, 5],
      [6, 7],
      [8, 9],
      [10, 11],
    ],
    [0, 1, 1, 2, 0, 2, 0, 1, 2, 1, 2, 0],
  ),
  square(3),
  square(4),
  splitPlot('split plot, 2 practices x 2 in 3 blocks', SPLIT, [0, 1, 2, 3, 3, 2, 1, 0, 0, 1, 3, 2]),
  splitPlot(
    'split plot, the same treatments in every whole plot',
    SPLIT,
    [0, 1, 1, 0, 2, 0, 0, 2, 1, 2, 2, 1],
  ),
];
