import {
  type BedLabel,
  type BedLayout,
  type BedSheet,
  bedGap,
  comfortable,
  edge,
  labelRoom,
  leastSide,
  type PlacedPlot,
} from './bed-drawn';
import type { MapBed, MapPlot, MapTrial } from './bed-plots';
import { type Box, thumb, type } from './frame';
import { textWidth } from './text';

export type Scale = { readonly perMetre: number; readonly turned: boolean };

/** A rectangle in a bed's own metres as it lies on the sheet. */
function onBed(inner: Box, bed: Box, { perMetre, turned }: Scale): Box {
  const { x, y, width, height } = turned
    ? { x: inner.y, y: inner.x, width: inner.height, height: inner.width }
    : { ...inner, y: bed.height / perMetre - inner.y - inner.height };
  return {
    x: bed.x + x * perMetre,
    y: bed.y + y * perMetre,
    width: width * perMetre,
    height: height * perMetre,
  };
}

/** Every plot that has a place in one of the beds. */
export const plotsOn = (
  boxes: ReadonlyMap<string, Box>,
  plots: readonly MapPlot[],
  scale: Scale,
): readonly PlacedPlot[] =>
  plots.flatMap((plot): PlacedPlot[] => {
    const { place } = plot.source;
    const box = place && boxes.get(place.bed);
    return box ? [{ plot, box: onBed(place, box, scale) }] : [];
  });

/** The part of a rectangle that lies in another; undefined where none does. */
function within(inner: Box, outer: Box): Box | undefined {
  const x = Math.max(inner.x, outer.x);
  const y = Math.max(inner.y, outer.y);
  const width = Math.min(inner.x + inner.width, outer.x + outer.width) - x;
  const height = Math.min(inner.y + inner.height, outer.y + outer.height) - y;
  return width > 0 && height > 0 ? { x, y, width, height } : undefined;
}

/** Blocked ground, as far as it lies in its bed. */
export const blockedOn = (
  boxes: ReadonlyMap<string, Box>,
  beds: readonly MapBed[],
  scale: Scale,
): BedLayout['blocked'] =>
  beds.flatMap(({ id, blocked = [] }) =>
    blocked.flatMap((ground) => {
      const bed = boxes.get(id);
      const box = bed && within(onBed(ground, bed, scale), bed);
      return box ? [{ ...box, why: ground.why }] : [];
    }),
  );

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
  beds: readonly MapBed[],
  plots: readonly MapPlot[],
  sheet: BedSheet,
  turned: boolean,
) {
  const { target = thumb } = sheet;
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
  const low = Math.max(lowFit(along, inRow, sheet), target / pitchOf(plots), leastSide / smallest);
  const perMetre = Math.min(wanted, low);
  return { turned, inRow, perMetre, smallestSide: perMetre * smallest };
}

/**
 * From one bed of a row to the next: its own width or, where the sheet has the room for all, that
 * of its name, and a gap.
 */
function rowSteps(beds: readonly MapBed[], widths: readonly number[], room: number): number[] {
  const close = widths.map((width) => width + bedGap);
  const apart = beds.map(({ name }, i) =>
    Math.max(close[i] ?? 0, textWidth(name, type.tick) + edge),
  );
  return apart.reduce((sum, step) => sum + step, 0) <= room ? apart : close;
}

/** Beds to scale in a row or one under another, north up; turned by a quarter where plots would be too small for a thumb. */
export function scaled(trial: MapTrial, plots: readonly MapPlot[], sheet: BedSheet): BedLayout {
  const { top, target = thumb } = sheet;
  const used = new Set(plots.map((p) => p.source.place?.bed));
  const beds = trial.beds.filter((bed) => used.has(bed.id));
  const upright = fitting(beds, plots, sheet, false);
  const turnedFit = fitting(beds, plots, sheet, true);
  const isBetter =
    upright.smallestSide < target && turnedFit.smallestSide > upright.smallestSide * 1.2;
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
  const scale = { perMetre, turned };
  return {
    kind: 'to-scale',
    plots: plotsOn(boxes, plots, scale),
    beds: [...boxes.values()],
    labels,
    blocked: blockedOn(boxes, beds, scale),
    bottom,
    ...scale,
  };
}
