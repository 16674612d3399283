/** A rectangle, metres: `x` runs to the east, `y` to the north, from its south-west corner. */
export type Rect = {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** Ground within a bed where no plot may lie, metres from the bed's south-west corner. */
export type Blocked = Rect & { readonly why: 'path' | 'unusable' };

/** A bed in the garden: its corner in the garden's own metres, its size, what of it is blocked. */
export type BedPlan = Rect & {
  readonly id: string;
  readonly name: string;
  readonly blocked?: readonly Blocked[] | undefined;
};

/** A tenth of a millimetre: what is nearer than this touches. */
export const hair = 1e-4;

/** The free way between two rectangles along the two axes; below zero where they share ground. */
export const gapsBetween = (a: Rect, b: Rect): readonly [x: number, y: number] => [
  Math.max(a.x, b.x) - Math.min(a.x + a.width, b.x + b.width),
  Math.max(a.y, b.y) - Math.min(a.y + a.height, b.y + b.height),
];

/** Do two rectangles come closer than `apart` metres (0: share ground)? */
export function isCloser(a: Rect, b: Rect, apart = 0): boolean {
  const [x, y] = gapsBetween(a, b);
  return x < apart - hair && y < apart - hair;
}

/** Larger by `by` metres on every side; smaller where it is below zero. */
export const grown = (rect: Rect, by: number): Rect => ({
  x: rect.x - by,
  y: rect.y - by,
  width: rect.width + 2 * by,
  height: rect.height + 2 * by,
});

/** The middle of a rectangle. */
export const middleOf = (rect: Rect): { readonly x: number; readonly y: number } => ({
  x: rect.x + rect.width / 2,
  y: rect.y + rect.height / 2,
});

/** The same rectangle with the axes changed over. */
export const flipped = <R extends Rect>(rect: R): R => ({
  ...rect,
  x: rect.y,
  y: rect.x,
  width: rect.height,
  height: rect.width,
});

/** Moves a rectangle given from a bed's corner to the garden's own metres. */
export const inGarden = <R extends Rect>(
  rect: R,
  bed: { readonly x: number; readonly y: number },
) => ({ ...rect, x: rect.x + bed.x, y: rect.y + bed.y }) as R;
