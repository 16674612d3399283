import type { Trial } from '@fairbed/trial';
import { blockText, type MapPlot } from './bed-plots';
import { type Box, thumb, type } from './frame';
import { textWidth } from './text';

export type PlacedPlot = { readonly plot: MapPlot; readonly box: Box };
type BedLabel = {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  /** Centred on x, not begun there. */
  readonly middle?: boolean;
};

export type BedLayout = {
  readonly kind: 'to-scale' | 'schematic';
  readonly plots: readonly PlacedPlot[];
  readonly beds: readonly Box[];
  readonly labels: readonly BedLabel[];
  readonly bottom: number;
  /** Only of a map to scale: pixels in a metre, and whether north points to the right. */
  readonly perMetre?: number;
  readonly turned?: boolean;
  /** True of a grid of rows and columns. */
  readonly grid?: boolean;
};

const edge = 10;
const labelRoom = 22;
const bedGap = 18;
/** Smallest side of a plot that is aimed for where the sheet has the room, pixels. */
const comfortable = 78;
/** Smallest side that still has room for a mark over a figure, pixels. */
const least = 32;

export type BedSheet = {
  readonly width: number;
  readonly top: number;
  /** The plan ends above this where its plots then still have the room of a thumb. */
  readonly bottom?: number | undefined;
};

/** To scale where every plot has a place in a known bed, else a schematic grid. */
export function bedLayout(trial: Trial, plots: readonly MapPlot[], sheet: BedSheet): BedLayout {
  const beds = new Set(trial.beds.map((bed) => bed.id));
  const placed = plots.every((p) => p.source.place && beds.has(p.source.place.bed));
  return placed && plots.length > 0 ? scaled(trial, plots, sheet) : schematic(plots, sheet);
}

type Bed = Trial['beds'][number];

/** Metres from the middle of a plot to that of its nearest neighbour in the bed, along a side. */
function pitchOf(plots: readonly MapPlot[]): number {
  const middles = plots.flatMap(({ source: { place } }) =>
    place ? [{ bed: place.bed, x: place.x + place.width / 2, y: place.y + place.height / 2 }] : [],
  );
  return middles.reduce(
    (nearest, a, i) =>
      middles.slice(i + 1).reduce((so, b) => {
        const apart = Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y));
        return a.bed === b.bed && apart > 0 ? Math.min(so, apart) : so;
      }, nearest),
    Infinity,
  );
}

/** Pixels in a metre at which beds one under another, or the longest in a row, end in time. */
function lowFit(along: readonly number[], inRow: boolean, { top, bottom }: BedSheet): number {
  if (bottom === undefined) return Infinity;
  const stacked = along.length * labelRoom + (along.length - 1) * (bedGap / 2);
  const room = bottom - top - (inRow ? labelRoom : stacked);
  return room / (inRow ? Math.max(...along) : along.reduce((sum, length) => sum + length, 0));
}

/** Pixels in a metre, and beds in a row or one under another, for one way round. */
function fitting(
  beds: readonly Bed[],
  plots: readonly MapPlot[],
  sheet: BedSheet,
  turned: boolean,
) {
  const room = sheet.width - 2 * edge;
  const across = beds.map((bed) => (turned ? bed.height : bed.width));
  const along = beds.map((bed) => (turned ? bed.width : bed.height));
  const inRow = beds.length > 1 && along.every((length, i) => length > (across[i] ?? 0));
  const total = across.reduce((sum, length) => sum + length, 0);
  const fit = inRow ? (room - (beds.length - 1) * bedGap) / total : room / Math.max(...across);
  const sides = plots.flatMap((p) =>
    p.source.place ? [p.source.place.width, p.source.place.height] : [],
  );
  const smallest = Math.min(...sides);
  const wanted = Math.min(fit, comfortable / smallest);
  // As low as the sheet asks, but only as far as a thumb finds every plot and a figure fits in it.
  const low = Math.max(lowFit(along, inRow, sheet), thumb / pitchOf(plots), least / smallest);
  const perMetre = Math.min(wanted, low);
  return { turned, inRow, perMetre, smallestSide: perMetre * smallest };
}

/**
 * From one bed of a row to the next: its own width or, where the sheet has the room for all, that
 * of its name, and a gap.
 */
function rowSteps(beds: readonly Bed[], widths: readonly number[], room: number): number[] {
  const close = widths.map((width) => width + bedGap);
  const apart = beds.map(({ name }, i) =>
    Math.max(close[i] ?? 0, textWidth(name, type.tick) + edge),
  );
  return apart.reduce((sum, step) => sum + step, 0) <= room ? apart : close;
}

/** Beds to scale, north up; turned by a quarter where plots would be too small for a thumb. */
function scaled(trial: Trial, plots: readonly MapPlot[], sheet: BedSheet): BedLayout {
  const { top } = sheet;
  const used = new Set(plots.map((p) => p.source.place?.bed));
  const beds = trial.beds.filter((bed) => used.has(bed.id));
  const upright = fitting(beds, plots, sheet, false);
  const turnedFit = fitting(beds, plots, sheet, true);
  const isBetter =
    upright.smallestSide < thumb && turnedFit.smallestSide > upright.smallestSide * 1.2;
  const { turned, inRow, perMetre } = isBetter ? turnedFit : upright;
  const widths = beds.map((bed) => (turned ? bed.height : bed.width) * perMetre);
  const steps = rowSteps(beds, widths, sheet.width - 2 * edge);
  let x = edge;
  let y = top;
  let bottom = top;
  const boxes = new Map<string, Box>();
  const labels: BedLabel[] = [];
  for (const [i, bed] of beds.entries()) {
    const [w, h] = turned ? [bed.height, bed.width] : [bed.width, bed.height];
    const box = { x, y: y + labelRoom, width: w * perMetre, height: h * perMetre };
    boxes.set(bed.id, box);
    labels.push({ text: bed.name, x, y: y + labelRoom / 2 });
    bottom = Math.max(bottom, box.y + box.height);
    if (inRow) x += steps[i] ?? box.width;
    else y = box.y + box.height + bedGap / 2;
  }
  const placed = plots.flatMap((plot): PlacedPlot[] => {
    const { place } = plot.source;
    const box = place && boxes.get(place.bed);
    if (!box) return [];
    const inner = turned
      ? { x: place.y, y: place.x, width: place.height, height: place.width }
      : {
          x: place.x,
          y: box.height / perMetre - place.y - place.height,
          width: place.width,
          height: place.height,
        };
    return [
      {
        plot,
        box: {
          x: box.x + inner.x * perMetre,
          y: box.y + inner.y * perMetre,
          width: inner.width * perMetre,
          height: inner.height * perMetre,
        },
      },
    ];
  });
  return {
    kind: 'to-scale',
    plots: placed,
    beds: [...boxes.values()],
    labels,
    bottom,
    perMetre,
    turned,
  };
}

const natural = (a: string, b: string): number => a.localeCompare(b, 'en', { numeric: true });

type Shelf = { readonly label: string | undefined; readonly plots: readonly MapPlot[] };

/** The blocks of the sheet, else all plots in one. */
const shelvesOf = (plots: readonly MapPlot[]): readonly Shelf[] =>
  [...new Set(plots.map((plot) => plot.block))].map((block) => ({
    label: block === undefined ? undefined : blockText(block),
    plots: plots.filter((plot) => plot.block === block),
  }));

/** Height of a plot of a grid and the gap below it, pixels: as drawn, and where room is short. */
const cellHeight = 64;
const lowCellHeight = thumb + 4;

/** Height at which so many rows end in time, `used` pixels being taken by what lies between. */
function heightFor(rows: number, used: number, { top, bottom }: BedSheet): number {
  if (bottom === undefined || rows === 0) return cellHeight;
  const fit = Math.floor((bottom - top - used) / rows);
  return Math.min(cellHeight, Math.max(lowCellHeight, fit));
}

/** Rows and columns as the sheet names them; undefined where a plot lacks either or two share one. */
function gridOf(plots: readonly MapPlot[], sheet: BedSheet): BedLayout | undefined {
  const { width, top } = sheet;
  const cells = plots.map(({ source }) => ({ row: source.row, column: source.column }));
  if (cells.length === 0 || cells.some((c) => c.row === undefined || c.column === undefined)) {
    return undefined;
  }
  if (new Set(cells.map((c) => JSON.stringify(c))).size < cells.length) return undefined;
  const named = (key: 'row' | 'column'): string[] =>
    [...new Set(cells.map((c) => c[key] ?? ''))].sort(natural);
  const rows = named('row');
  const columns = named('column');
  const height = heightFor(rows.length, labelRoom + 8, sheet);
  const margin = Math.max(...rows.map((row) => textWidth(row, type.tick))) + 8;
  const cell = Math.min((width - 2 * edge - margin - 8) / columns.length, 120);
  const left = edge + margin;
  const y = top + labelRoom;
  const bed = { x: left, y, width: columns.length * cell + 8, height: rows.length * height + 8 };
  const placed = plots.map((plot, i): PlacedPlot => {
    const x = left + 6 + columns.indexOf(cells[i]?.column ?? '') * cell;
    const plotY = y + 6 + rows.indexOf(cells[i]?.row ?? '') * height;
    return { plot, box: { x, y: plotY, width: cell - 4, height: height - 4 } };
  });
  const labels = [
    ...columns.map((text, i) => ({
      text,
      x: left + 4 + (i + 0.5) * cell,
      y: top + labelRoom / 2,
      middle: true,
    })),
    ...rows.map((text, i) => ({ text, x: edge, y: y + 4 + (i + 0.5) * height })),
  ];
  return {
    kind: 'schematic',
    plots: placed,
    beds: [bed],
    labels,
    bottom: bed.y + bed.height,
    grid: true,
  };
}

/** Plots in the order of the sheet, one shelf a block, broken where it is too long. */
function schematic(plots: readonly MapPlot[], sheet: BedSheet): BedLayout {
  const grid = gridOf(plots, sheet);
  if (grid) return grid;
  const { width, top } = sheet;
  const room = width - 2 * edge;
  const codeRoom = Math.max(...plots.map((p) => textWidth(p.code, type.tick)), 0) + 34;
  const least = Math.min(Math.max(62, codeRoom), room);
  const shelves = shelvesOf(plots);
  const most = Math.max(1, ...shelves.map((shelf) => shelf.plots.length));
  const columns = Math.max(1, Math.min(most, Math.floor((room - 8) / least)));
  // Even rows look like a bed: twelve plots in rows of six, not of ten and two.
  const even = Math.ceil(most / Math.ceil(most / columns));
  const cell = Math.min((room - 8) / even, 120);
  const linesOf = (shelf: Shelf): number => Math.ceil(shelf.plots.length / even);
  const between = shelves.reduce((sum, { label }) => sum + (label ? labelRoom : 0) + 14, 0);
  const lineCount = shelves.reduce((sum, shelf) => sum + linesOf(shelf), 0);
  const height = heightFor(lineCount, between, sheet);
  let y = top;
  const placed: PlacedPlot[] = [];
  const beds: Box[] = [];
  const labels: BedLabel[] = [];
  for (const shelf of shelves) {
    if (shelf.label !== undefined) {
      labels.push({ text: shelf.label, x: edge, y: y + labelRoom / 2 });
      y += labelRoom;
    }
    const lines = linesOf(shelf);
    const across = Math.min(even, shelf.plots.length);
    beds.push({ x: edge, y, width: across * cell + 8, height: lines * height + 8 });
    shelf.plots.forEach((plot, i) => {
      placed.push({
        plot,
        box: {
          x: edge + 4 + (i % even) * cell + 2,
          y: y + 4 + Math.floor(i / even) * height + 2,
          width: cell - 4,
          height: height - 4,
        },
      });
    });
    y += lines * height + 8 + 6;
  }
  return { kind: 'schematic', plots: placed, beds, labels, bottom: y };
}

/** A round length in metres whose bar is between a thumb and a third of a phone wide. */
export function scaleBar(perMetre: number): { readonly metres: number; readonly pixels: number } {
  const metres =
    [0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50, 100].find((m) => m * perMetre >= thumb) ?? 100;
  return { metres, pixels: metres * perMetre };
}
