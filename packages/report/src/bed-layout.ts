import { type Garden, gardenLayout } from './bed-garden';
import {
  type BedLabel,
  type BedLayout,
  type BedSheet,
  edge,
  labelRoom,
  type PlacedPlot,
} from './bed-drawn';
import { blockText, type MapPlot, type MapTrial } from './bed-plots';
import { scaled } from './bed-scaled';
import { type Box, thumb, type } from './frame';
import { textWidth } from './text';

/**
 * To scale where every plot has a place in a known bed, else a schematic grid. Beds whose place in
 * the garden is known lie where they lie, unless plots would then be too small to hit.
 */
export function bedLayout(trial: MapTrial, plots: readonly MapPlot[], sheet: BedSheet): BedLayout {
  const beds = new Set(trial.beds.map((bed) => bed.id));
  const placed = plots.every((p) => p.source.place && beds.has(p.source.place.bed));
  if (!placed || beds.size === 0) return schematic(plots, sheet);
  const garden = gardenLayout(trial, plots, sheet);
  if (plots.length === 0) return garden?.layout ?? schematic(plots, sheet);
  const packed = scaled(trial, plots, sheet);
  if (!garden) return packed;
  return isBetterPacked(garden, packed, sheet) ? { ...packed, drawnTogether: true } : garden.layout;
}

/** What is drawn untrue to the garden must be easier to hit, or save a walk over empty paper. */
function isBetterPacked(garden: Garden, packed: BedLayout, { top }: BedSheet): boolean {
  const scaleUp = (packed.perMetre ?? 0) / (garden.layout.perMetre ?? 1);
  if (!garden.isLargeEnough && scaleUp > 1.15) return true;
  return scaleUp > 0.85 && garden.layout.bottom - top > 2 * (packed.bottom - top);
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
    blocked: [],
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
  return { kind: 'schematic', plots: placed, beds, labels, blocked: [], bottom: y };
}
