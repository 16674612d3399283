import type { Shape, TreatmentStyle } from '../marks';
import {
  black,
  type Box,
  circle,
  type Ink,
  line,
  type Mark,
  type Point,
  shape,
  white,
} from './ink';

/** Outlines in a box from -1 to 1, the same as on the screen. */
const outlines: Readonly<
  Record<'square' | 'triangle' | 'diamond' | 'cross' | 'bar', readonly Point[]>
> = {
  square: [
    [-0.84, -0.84],
    [0.84, -0.84],
    [0.84, 0.84],
    [-0.84, 0.84],
  ],
  triangle: [
    [0, -1],
    [1, 0.8],
    [-1, 0.8],
  ],
  diamond: [
    [0, -1.1],
    [1.1, 0],
    [0, 1.1],
    [-1.1, 0],
  ],
  cross: [
    [-0.36, -1],
    [0.36, -1],
    [0.36, -0.36],
    [1, -0.36],
    [1, 0.36],
    [0.36, 0.36],
    [0.36, 1],
    [-0.36, 1],
    [-0.36, 0.36],
    [-1, 0.36],
    [-1, -0.36],
    [-0.36, -0.36],
  ],
  bar: [
    [-1.1, -0.45],
    [1.1, -0.45],
    [1.1, 0.45],
    [-1.1, 0.45],
  ],
};

/** The last colour named in a tone: `var(--fb-mark-blue, #0072b2)`. */
function inkOf(colour: string): Ink {
  const hex = /#([0-9a-f]{6})/i.exec(colour)?.[1];
  if (hex === undefined) return black;
  const part = (from: number): number => Number.parseInt(hex.slice(from, from + 2), 16) / 255;
  return [part(0), part(2), part(4)];
}

/** A treatment's mark, `size` millimetres across: a shape first, so that black and white will do. */
export function symbol(
  { shape: kind, colour }: TreatmentStyle,
  centre: Point,
  size: number,
): Mark[] {
  const r = size / 2;
  const edge = { stroke: black, width: 0.25 };
  const fill = inkOf(colour);
  const at = ([x, y]: Point): Point => [centre[0] + x * r, centre[1] + y * r];
  const round: Partial<Record<Shape, Mark[]>> = {
    circle: [circle(centre, r * 0.92, { ...edge, fill })],
    open: [circle(centre, r * 0.85, { fill: white, stroke: black, width: 0.45 })],
    ring: [
      circle(centre, r * 0.92, { ...edge, fill }),
      circle(centre, r * 0.4, { ...edge, fill: white }),
    ],
    half: [
      circle(centre, r * 0.92, { ...edge, fill: white }),
      shape(
        Array.from({ length: 21 }, (_, i) => {
          const turn = Math.PI / 2 + (i / 20) * Math.PI;
          return at([0.92 * Math.cos(turn), 0.92 * Math.sin(turn)]);
        }),
        { ...edge, fill },
      ),
    ],
  };
  const found = round[kind];
  if (found) return found;
  const outline = kind in outlines ? outlines[kind as keyof typeof outlines] : outlines.square;
  return [shape(outline.map(at), { ...edge, fill })];
}

type Family = { readonly slopes: readonly number[]; readonly step: number };

/** Directions of hatching in degrees, one family a treatment; further ones are drawn closer. */
const families: readonly Family['slopes'][] = [[45], [135], [0], [90], [0, 90], [45, 135]];

/** Where a line through a box at an angle enters and leaves it; undefined where it misses. */
function clipped(box: Box, through: Point, degrees: number): Point[] | undefined {
  const turn = (degrees * Math.PI) / 180;
  const direction = [Math.cos(turn), Math.sin(turn)] as const;
  let [from, to] = [-Infinity, Infinity];
  for (const [start, low, high] of [
    [0, box.x, box.x + box.width],
    [1, box.y, box.y + box.height],
  ] as const) {
    const d = direction[start];
    const p = through[start];
    if (Math.abs(d) < 1e-12) {
      if (p < low || p > high) return undefined;
      continue;
    }
    from = Math.max(from, Math.min((low - p) / d, (high - p) / d));
    to = Math.min(to, Math.max((low - p) / d, (high - p) / d));
  }
  if (to - from < 1e-6) return undefined;
  const at = (t: number): Point => [through[0] + t * direction[0], through[1] + t * direction[1]];
  return [at(from), at(to)];
}

/** Hatching of a plot by the place of its treatment among those that are not the control. */
export function hatch(box: Box, place: number): Mark[] {
  const slopes = families[place % families.length] ?? [];
  const step = 2.4 / (1 + Math.floor(place / families.length) * 0.8);
  const reach = Math.hypot(box.width, box.height) / 2;
  const middle: Point = [box.x + box.width / 2, box.y + box.height / 2];
  return slopes.flatMap((degrees) => {
    const turn = (degrees * Math.PI) / 180;
    const count = Math.ceil(reach / step);
    return Array.from({ length: 2 * count + 1 }, (_, i) => (i - count + 0.5) * step).flatMap(
      (off) => {
        const through: Point = [middle[0] - off * Math.sin(turn), middle[1] + off * Math.cos(turn)];
        const ends = clipped(box, through, degrees);
        return ends ? [line(ends, { stroke: 0.55, width: 0.15 })] : [];
      },
    );
  });
}
