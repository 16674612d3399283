/**
 * What a sheet is made of: paths and texts, in millimetres from the top left corner of the paper.
 * Pictures are made of these alone, so that a layout can be tested without reading a PDF back.
 */
export type Point = readonly [x: number, y: number];
/** A grey from 0 (black) to 1 (white), or red, green and blue from 0 to 1. */
export type Ink = number | readonly [number, number, number];

export type PathMark = {
  readonly kind: 'path';
  readonly rings: readonly (readonly Point[])[];
  readonly closed?: boolean;
  readonly fill?: Ink;
  readonly stroke?: Ink;
  /** Width of the stroke, millimetres. */
  readonly width?: number;
  readonly dash?: readonly number[];
};

export type TextMark = {
  readonly kind: 'text';
  readonly text: string;
  readonly x: number;
  /** Of the base line. */
  readonly y: number;
  /** Type size, points. */
  readonly size: number;
  readonly bold?: boolean;
  readonly align?: 'start' | 'middle' | 'end';
  readonly ink?: Ink;
  /** Turned a quarter to the left: read from below upwards. */
  readonly upwards?: boolean;
};

export type Box = {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** Many black boxes as one path: a QR code. */
export type BoxesMark = { readonly kind: 'boxes'; readonly boxes: readonly Box[] };

export type Mark = PathMark | TextMark | BoxesMark;
type Brush = Omit<PathMark, 'kind' | 'rings' | 'closed'>;

export const black = 0;
export const white = 1;
export const soft = 0.35;

/** An open line through points. */
export const line = (points: readonly Point[], brush: Brush): PathMark => ({
  kind: 'path',
  rings: [points],
  stroke: black,
  ...brush,
});

/** A closed shape. */
export const shape = (points: readonly Point[], brush: Brush): PathMark => ({
  kind: 'path',
  rings: [points],
  closed: true,
  ...brush,
});

/** The corners of a box. */
export const corners = ({ x, y, width, height }: Box): Point[] => [
  [x, y],
  [x + width, y],
  [x + width, y + height],
  [x, y + height],
];

export const rectangle = (box: Box, brush: Brush): PathMark => shape(corners(box), brush);

/** A circle as a polygon of 40 corners: no eye sees the difference at the sizes of a sheet. */
export function circle(centre: Point, radius: number, brush: Brush): PathMark {
  const points = Array.from({ length: 40 }, (_, i): Point => {
    const turn = (i / 40) * 2 * Math.PI;
    return [centre[0] + radius * Math.cos(turn), centre[1] + radius * Math.sin(turn)];
  });
  return shape(points, brush);
}
