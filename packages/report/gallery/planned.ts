import { type BedPlan, fitPlots, plantsIn, type Trial, walkOrder } from '@fairbed/trial';
import { type PlantDot, planMap } from '../src/index';
import { five } from './trials';

// Invented for the gallery: three beds round a shed, as a grower would plan them. Places come from
// the same code that lays out real plans.

export const garden: readonly BedPlan[] = [
  {
    id: 'long',
    name: 'Long bed',
    x: 0,
    y: 0,
    width: 3,
    height: 8,
    blocked: [
      { x: 0, y: 3.8, width: 3, height: 0.4, why: 'path' },
      { x: 1.8, y: 7, width: 1.2, height: 1, why: 'unusable' },
    ],
  },
  { id: 'shed', name: 'By the shed', x: 4, y: 0, width: 3, height: 3.6 },
  { id: 'hedge', name: 'Hedge bed', x: 4, y: 4.4, width: 3, height: 3.6 },
];

const fit = fitPlots({
  beds: garden,
  plot: { width: 0.8, length: 1 },
  buffer: 0.15,
  edge: 0.1,
  blocks: 5,
  perBlock: 5,
  along: 'north',
});
if (!fit.ok) throw new Error(fit.problem.what);
const { cells } = fit;

/** Before any draw: plots numbered, blocks outlined. */
export const plan = planMap(garden, cells);
/** Beds drawn and nothing in them yet. */
export const barePlan = planMap(garden, []);

const codes = 'K7 M2 R4 T9 A3 C8 E5 H6 N1 P7 X2 Y4 D9 F3 L8 W5 G6 J1 S7 U2 V4 Z9 B3 Q8 K5'.split(
  ' ',
);

/** Drawn: each treatment once a block (by a fixed turn, this being a picture), codes on stakes. */
export const planned: Trial = {
  format: 'fairbed-trial',
  version: 1,
  id: 'planned',
  title: 'Leek rust, planned',
  invented: true,
  diseases: [{ id: 'rust', name: 'Rust' }],
  beds: [...plan.beds],
  treatments: five.map((name, i) => ({ id: `t${i}`, name, kind: 'unstated' })),
  control: 't0',
  design: { kind: 'randomised-blocks' },
  blocks: [...plan.blocks],
  plots: plan.plots.map((plot, i) => ({
    ...plot,
    code: codes[i] ?? plot.id,
    treatment: `t${(i * 2 + Math.floor(i / 5)) % 5}`,
  })),
  plants: [],
  rounds: [],
  scores: [],
  times: [],
  sprays: [],
  events: [],
  harvests: [],
};

const corner = new Map(garden.map((bed) => [bed.id, bed]));
const order = walkOrder(
  cells.map((cell) => ({
    ...cell,
    x: cell.x + (corner.get(cell.bed)?.x ?? 0),
    y: cell.y + (corner.get(cell.bed)?.y ?? 0),
  })),
  { x: 0, y: -1 },
);
export const walk = order.map((i) => planned.plots[i]?.id ?? '');

const stateAt = (stop: number, number: number): PlantDot['state'] => {
  if (stop === 9) return number === 2 ? 'skipped' : number < 4 ? 'scored' : 'due';
  if (stop === 4 && number === 5) return 'lost';
  return stop < 9 ? 'scored' : 'due';
};

/** A round under way: eight plots done, the ninth begun, one plant skipped and one lost. */
export const plants = new Map(
  cells.map((cell, i) => {
    const { width, height } = cell;
    const planted = plantsIn(
      { x: 0, y: 0, width, height },
      { plants: 0.2, rows: 0.26, guardRows: 0, guardPlants: 1 },
    );
    const dots = planted.ok ? planted.plants : [];
    const id = String(i + 1);
    const stop = walk.indexOf(id) + 1;
    return [
      id,
      dots.map(
        ({ x, y, use, number = 0 }): PlantDot => ({
          x,
          y,
          state: use === 'scored' ? stateAt(stop, number) : 'guard',
        }),
      ),
    ] as const;
  }),
);

/** The same plants with no places known, for beds that came from a sheet. */
export const placeless = new Map(
  [...plants].map(([id, dots]) => [
    id,
    dots.filter(({ state }) => state !== 'guard').map(({ state }): PlantDot => ({ state })),
  ]),
);

/** Beds so far apart that a phone cannot show both where they lie. */
export const farApart: Trial = {
  ...planned,
  beds: planned.beds.map((bed, i) => ({ ...bed, x: (bed.x ?? 0) + i * 30 })),
};

/** Beds that touch: no room for a name between them. */
export const touching: Trial = {
  ...planned,
  beds: planned.beds.map((bed) => ({
    ...bed,
    x: bed.id === 'long' ? 0 : 3,
    y: bed.id === 'hedge' ? 3.6 : 0,
  })),
};
