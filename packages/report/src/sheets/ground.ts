import { blockText } from '../bed-plots';
import type { Box } from './ink';
import type { SheetPlot } from './sheet';

/** A bed in metres; `x` and `y` are its south-west corner in the garden, east and north. */
export type SheetBed = {
  readonly id: string;
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly x?: number | undefined;
  readonly y?: number | undefined;
  /** In the bed's own metres, as places of plots are. */
  readonly blocked?: readonly (Box & { readonly why: 'path' | 'unusable' })[] | undefined;
};

/** Part of the ground that is drawn in one piece: a bed, some metres of one, or all beds at once. */
export type Piece = {
  /** Stands above the piece; empty where the beds in it are named one by one. */
  readonly name: string;
  /** Metres east and north; everything below is in the same metres. */
  readonly area: Box;
  readonly beds: readonly { readonly name: string; readonly box: Box }[];
  readonly blocked: readonly { readonly box: Box; readonly why: 'path' | 'unusable' }[];
  /** `index` counts the plots as they were handed in. */
  readonly plots: readonly { readonly index: number; readonly box: Box }[];
};

export type Ground = {
  /** A piece a bed. */
  readonly pieces: readonly Piece[];
  /** All beds where they lie in the garden, where that is known of every bed. */
  readonly whole: Piece | undefined;
  readonly toScale: boolean;
};

const moved = (box: Box, x: number, y: number): Box => ({ ...box, x: box.x + x, y: box.y + y });

function pieceOf(bed: SheetBed, plots: readonly SheetPlot[], x = 0, y = 0): Piece {
  const box = { x, y, width: bed.width, height: bed.height };
  return {
    name: bed.name,
    area: box,
    beds: [{ name: bed.name, box }],
    blocked: (bed.blocked ?? []).map((part) => ({ box: moved(part, x, y), why: part.why })),
    plots: plots.flatMap(({ place }, index) =>
      place?.bed === bed.id ? [{ index, box: moved(place, x, y) }] : [],
    ),
  };
}

/** The smallest box round boxes. */
function around(boxes: readonly Box[]): Box {
  const x = Math.min(...boxes.map((box) => box.x));
  const y = Math.min(...boxes.map((box) => box.y));
  const right = Math.max(...boxes.map((box) => box.x + box.width));
  const top = Math.max(...boxes.map((box) => box.y + box.height));
  return { x, y, width: right - x, height: top - y };
}

const overlap = (a: Box, b: Box): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

function wholeOf(beds: readonly SheetBed[], plots: readonly SheetPlot[]): Piece | undefined {
  const placed = beds.flatMap((bed) =>
    bed.x === undefined || bed.y === undefined ? [] : [pieceOf(bed, plots, bed.x, bed.y)],
  );
  const areas = placed.map((piece) => piece.area);
  const clash = areas.some((a, i) => areas.slice(i + 1).some((b) => overlap(a, b)));
  if (placed.length < beds.length || clash) return undefined;
  return {
    name: '',
    area: around(areas),
    beds: placed.flatMap((piece) => piece.beds),
    blocked: placed.flatMap((piece) => piece.blocked),
    plots: placed.flatMap((piece) => piece.plots),
  };
}

/** Cells of a plan that is not to scale, in place of metres. */
const cell = { width: 1.25, height: 1 };
const mostInRow = 8;
const mostInPart = 80;

/** Rows of cells for every block, in the order of the list; long blocks in parts. */
function schematic(plots: readonly SheetPlot[]): readonly Piece[] {
  const blocks = [...new Set(plots.map((plot) => plot.block))];
  return blocks.flatMap((block) => {
    const own = plots.flatMap((plot, index) => (plot.block === block ? [index] : []));
    const name = block === undefined ? '' : blockText(block).replace(/^b/, 'B');
    const parts = Math.ceil(own.length / mostInPart);
    return Array.from({ length: parts }, (_, i) =>
      cells(
        own.slice(i * mostInPart, (i + 1) * mostInPart),
        i === 0 || name === '' ? name : `${name}, continued`,
      ),
    );
  });
}

function cells(indices: readonly number[], name: string): Piece {
  const rows = Math.ceil(indices.length / mostInRow);
  const columns = Math.ceil(indices.length / rows);
  const boxOf = (i: number): Box => ({
    x: (i % columns) * cell.width + 0.04,
    y: (rows - 1 - Math.floor(i / columns)) * cell.height + 0.04,
    width: cell.width - 0.08,
    height: cell.height - 0.08,
  });
  return {
    name,
    area: { x: 0, y: 0, width: columns * cell.width, height: rows * cell.height },
    beds: [],
    blocked: [],
    plots: indices.map((index, i) => ({ index, box: boxOf(i) })),
  };
}

/**
 * The ground of a plan: to scale where every plot has its place in a known bed, else a row of
 * cells a block. Beds without plots are left out.
 */
export function groundOf(beds: readonly SheetBed[], plots: readonly SheetPlot[]): Ground {
  const known = new Set(beds.map((bed) => bed.id));
  const toScale = plots.every(({ place }) => place !== undefined && known.has(place.bed));
  if (!toScale) return { pieces: schematic(plots), whole: undefined, toScale };
  const used = new Set(plots.map(({ place }) => place?.bed));
  const planted = beds.filter((bed) => used.has(bed.id));
  return {
    pieces: planted.map((bed) => pieceOf(bed, plots)),
    whole: wholeOf(planted, plots),
    toScale,
  };
}

const alongOf = (piece: Piece) => {
  const isWide = piece.area.width >= piece.area.height;
  const from = (box: Box): number => (isWide ? box.x - piece.area.x : box.y - piece.area.y);
  const length = (box: Box): number => (isWide ? box.width : box.height);
  return { isWide, from, length };
};

const metresText = (metres: number): string => String(Math.round(metres * 10) / 10);

/** The middle of every gap between plots along a bed. */
function gapsBetween(spans: readonly (readonly [start: number, end: number])[]): number[] {
  const rounding = 1e-9;
  const sorted = [...spans].sort((a, b) => a[0] - b[0]);
  const gaps: number[] = [];
  let reached = sorted[0]?.[0] ?? 0;
  for (const [start, end] of sorted) {
    if (start >= reached - rounding && start > (sorted[0]?.[0] ?? 0))
      gaps.push((reached + start) / 2);
    reached = Math.max(reached, end);
  }
  return gaps;
}

/**
 * A bed cut across into stretches of at most `most` metres, between plots wherever there is such a
 * place.
 */
export function stretches(piece: Piece, most: number): readonly Piece[] {
  const { isWide, from, length } = alongOf(piece);
  const whole = length(piece.area);
  if (whole <= most) return [piece];
  const gaps = gapsBetween(piece.plots.map(({ box }) => [from(box), from(box) + length(box)]));
  const cuts: number[] = [0];
  while (whole - (cuts.at(-1) ?? 0) > most + 1e-9) {
    const start = cuts.at(-1) ?? 0;
    const within = gaps.filter((at) => at > start && at <= start + most);
    cuts.push(within.length > 0 ? Math.max(...within) : start + most);
  }
  cuts.push(whole);
  return cuts.slice(0, -1).map((start, i) => {
    const end = cuts[i + 1] ?? whole;
    const { area } = piece;
    const part = isWide
      ? { ...area, x: area.x + start, width: end - start }
      : { ...area, y: area.y + start, height: end - start };
    const isIn = (box: Box): boolean => {
      const middle = from(box) + length(box) / 2;
      return middle >= start && middle < end;
    };
    const side = isWide ? 'west' : 'south';
    return {
      name: `${piece.name}, ${metresText(start)} to ${metresText(end)} m from the ${side} end`,
      area: part,
      beds: [{ name: piece.name, box: part }],
      blocked: piece.blocked.flatMap(({ box, why }) => {
        const low = Math.max(from(box), start);
        const high = Math.min(from(box) + length(box), end);
        if (high <= low) return [];
        const clipped = isWide
          ? { ...box, x: area.x + low, width: high - low }
          : { ...box, y: area.y + low, height: high - low };
        return [{ box: clipped, why }];
      }),
      plots: piece.plots.filter(({ box }) => isIn(box)),
    };
  });
}
