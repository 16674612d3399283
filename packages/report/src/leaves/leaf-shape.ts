/** A leaf to draw on: the outline of its blade and its veins, in a box 100 wide and 140 high. */
export type LeafPoint = readonly [x: number, y: number];

export const leafBox = { width: 100, height: 140 };
const middle = 50;
const tip = 5;
const base = 112;
const stalkEnd = 138;
const halfWidth = 43;
const stepsPerSide = 90;

/** Half the width of the blade, from its base (0) to its tip (1): broadest past the middle. */
const breadth = (t: number): number => halfWidth * Math.sin(Math.PI * t ** 1.25) ** 0.75;

/** A wavy margin, calmer at both ends; the two sides out of step, as leaves are. */
const wave = (t: number, side: -1 | 1): number =>
  Math.sin(Math.PI * t) *
  (2 * Math.sin(2 * Math.PI * (7 * t + (side === 1 ? 0.1 : 0.55))) +
    1.1 * Math.sin(2 * Math.PI * (12 * t + (side === 1 ? 0.4 : 0.05))));

const yAt = (t: number): number => base + (tip - base) * t;

function margin(side: -1 | 1): LeafPoint[] {
  return Array.from({ length: stepsPerSide + 1 }, (_, i): LeafPoint => {
    const t = i / stepsPerSide;
    // sin of pi is a hair off nought, whose root would be a visible step at the tip.
    const half = i === 0 || i === stepsPerSide ? 0 : breadth(t) + wave(t, side);
    return [middle + side * Math.max(0, half), yAt(t)];
  });
}

/** The blade as a closed polygon; the stalk is no part of its area. */
export const outline: readonly LeafPoint[] = [...margin(1), ...margin(-1).reverse().slice(1, -1)];

/** Midrib with the stalk, then the side veins, each a line. */
export const veins: readonly (readonly LeafPoint[])[] = [
  [
    [middle, stalkEnd],
    [middle, tip + 6],
  ],
  ...[0.1, 0.22, 0.34, 0.46, 0.58, 0.7].flatMap((t) =>
    ([-1, 1] as const).map((side): readonly LeafPoint[] => {
      const reach = 0.78 * breadth(Math.min(1, t + 0.17));
      return [
        [middle, yAt(t)],
        [middle + side * reach * 0.55, yAt(t + 0.07)],
        [middle + side * reach, yAt(t + 0.19)],
      ];
    }),
  ),
];

/** Area of the blade, in the square units of its box (shoelace formula). */
export const bladeArea: number =
  Math.abs(
    outline.reduce((sum, [x, y], i) => {
      const [nextX, nextY] = outline[(i + 1) % outline.length] ?? [x, y];
      return sum + x * nextY - nextX * y;
    }, 0),
  ) / 2;

type Span = readonly [from: number, to: number];

/** Stretches of a level line that lie on the blade, left to right. */
export function bladeSpans(y: number): readonly Span[] {
  const crossings: number[] = [];
  for (const [i, [x, at]] of outline.entries()) {
    const [nextX, nextAt] = outline[(i + 1) % outline.length] ?? [x, at];
    if (at <= y !== nextAt <= y) crossings.push(x + ((y - at) / (nextAt - at)) * (nextX - x));
  }
  crossings.sort((a, b) => a - b);
  return crossings.flatMap((from, i): Span[] =>
    i % 2 === 0 ? [[from, crossings[i + 1] ?? from]] : [],
  );
}

/** Lowest and highest place of the blade in its box. */
export const bladeRange: Span = [tip, base];
