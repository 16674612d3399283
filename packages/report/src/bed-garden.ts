import {
  type BedLabel,
  type BedLayout,
  type BedSheet,
  comfortable,
  edge,
  labelRoom,
  leastSide,
} from './bed-drawn';
import type { MapBed, MapPlot, MapTrial } from './bed-plots';
import { blockedOn, plotsOn, type Scale } from './bed-scaled';
import { type Box, thumb, type } from './frame';
import { textWidth } from './text';

type Located = MapBed & { readonly x: number; readonly y: number };

/** Pixels in a metre of a garden with no plots yet, at most. */
const mostPerMetre = 90;

const isLocated = (bed: MapBed): bed is Located => bed.x !== undefined && bed.y !== undefined;

export type Garden = { readonly layout: BedLayout; readonly isLargeEnough: boolean };

/** The rectangle that holds all beds, metres. */
function boundsOf(beds: readonly Located[]): Box {
  const x = Math.min(...beds.map((bed) => bed.x));
  const y = Math.min(...beds.map((bed) => bed.y));
  const width = Math.max(...beds.map((bed) => bed.x + bed.width)) - x;
  const height = Math.max(...beds.map((bed) => bed.y + bed.height)) - y;
  return { x, y, width, height };
}

type Nearest = { readonly side: number; readonly pitch: number };

/** Smallest side of a plot and metres between the middles of neighbours, beds where they lie. */
function nearestOf(beds: readonly Located[], plots: readonly MapPlot[]): Nearest {
  const corners = new Map(beds.map((bed) => [bed.id, bed]));
  const middles = plots.flatMap(({ source: { place } }) => {
    const bed = place && corners.get(place.bed);
    return bed
      ? [{ x: bed.x + place.x + place.width / 2, y: bed.y + place.y + place.height / 2 }]
      : [];
  });
  const sides = plots.flatMap(({ source: { place } }) =>
    place ? [place.width, place.height] : [],
  );
  const pitch = middles.reduce(
    (so, a, i) =>
      middles
        .slice(i + 1)
        .reduce(
          (near, b) => Math.min(near, Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y))),
          so,
        ),
    Infinity,
  );
  return { side: Math.min(...sides), pitch };
}

/** Pixels in a metre with the garden one way round, and how small plots are then. */
function fitting(bounds: Box, nearest: Nearest, sheet: BedSheet, turned: boolean) {
  const { width, top, bottom, target = thumb } = sheet;
  const { side, pitch } = nearest;
  const [across, along] = turned ? [bounds.height, bounds.width] : [bounds.width, bounds.height];
  const fit = (width - 2 * edge) / across;
  const wanted = Math.min(fit, Number.isFinite(side) ? comfortable / side : mostPerMetre);
  const high = bottom === undefined ? Infinity : (bottom - top - 2 * labelRoom) / along;
  const perMetre = Math.min(wanted, Math.max(high, target / pitch, leastSide / side));
  return { turned, perMetre, side: perMetre * side, pitch: perMetre * pitch };
}

type Fitting = ReturnType<typeof fitting>;

/** Plots that would be hit by mistake are too small, and so are those no figure fits in. */
const isLargeEnough = ({ side, pitch }: Fitting, { target = thumb }: BedSheet): boolean =>
  side >= leastSide - 1e-6 && pitch >= target - 1e-6;

/** Beds where they lie in the garden, north up or to the right. Undefined where a place is unknown. */
export function gardenLayout(
  trial: MapTrial,
  plots: readonly MapPlot[],
  sheet: BedSheet,
): Garden | undefined {
  const beds = trial.beds.filter(isLocated);
  if (beds.length === 0 || beds.length < trial.beds.length) return undefined;
  const bounds = boundsOf(beds);
  const nearest = nearestOf(beds, plots);
  const upright = fitting(bounds, nearest, sheet, false);
  const across = fitting(bounds, nearest, sheet, true);
  const { target = thumb } = sheet;
  const isBetter = upright.side < target && across.side > upright.side * 1.2;
  const chosen = isBetter ? across : upright;
  const boxes = boxesOf(beds, bounds, sheet.top + labelRoom, chosen);
  const scale = { perMetre: chosen.perMetre, turned: chosen.turned };
  const placed = plotsOn(boxes, plots, scale);
  const named = namesOf(beds, boxes, sheet.width);
  const low = Math.max(
    ...[...boxes.values()].map((box) => box.y + box.height),
    ...named.labels.map((label) => label.y + labelRoom / 2),
  );
  const layout: BedLayout = {
    kind: 'to-scale',
    plots: placed,
    beds: [...boxes.values()],
    blocked: blockedOn(boxes, beds, scale),
    ...named,
    bottom: low,
    ...scale,
  };
  return { layout, isLargeEnough: isLargeEnough(chosen, sheet) };
}

function boxesOf(
  beds: readonly Located[],
  bounds: Box,
  top: number,
  { perMetre, turned }: Scale,
): ReadonlyMap<string, Box> {
  return new Map(
    beds.map((bed) => {
      const west = bed.x - bounds.x;
      const south = bed.y - bounds.y;
      const north = bounds.height - south - bed.height;
      const [x, y] = turned ? [south, west] : [west, north];
      const [width, height] = turned ? [bed.height, bed.width] : [bed.width, bed.height];
      const box = {
        x: edge + x * perMetre,
        y: top + y * perMetre,
        width: width * perMetre,
        height: height * perMetre,
      };
      return [bed.id, box] as const;
    }),
  );
}

const overlap = (a: Box, b: Box): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

/** Where a bed's name can stand beside its box: above it, else below. */
const besides = (box: Box, text: string): readonly Box[] => {
  const width = textWidth(text, type.tick) + 4;
  return [
    { x: box.x, y: box.y - labelRoom + 2, width, height: labelRoom - 4 },
    { x: box.x, y: box.y + box.height + 2, width, height: labelRoom - 4 },
  ];
};

/** Names of the beds beside them; a letter, explained at the foot, where a name has no room. */
function namesOf(
  beds: readonly Located[],
  boxes: ReadonlyMap<string, Box>,
  width: number,
): { labels: readonly BedLabel[]; letters: readonly (readonly [string, string])[] } {
  const taken: Box[] = [...boxes.values()];
  const labels: BedLabel[] = [];
  const letters: (readonly [string, string])[] = [];
  for (const { id, name } of beds) {
    const box = boxes.get(id);
    if (!box) continue;
    const letter = letterOf(letters.length);
    const isFree = (spot: Box): boolean =>
      spot.x + spot.width <= width - 2 && !taken.some((other) => overlap(spot, other));
    const tries = [name, letter].flatMap((text) =>
      besides(box, text).map((spot) => ({ text, spot })),
    );
    const found = tries.find(({ spot }) => isFree(spot));
    if (found?.text !== name) letters.push([letter, name]);
    // Beds that touch leave no room beside them: the letter stands on the bed's own corner.
    const text = found?.text ?? letter;
    const spot = found?.spot ?? { x: box.x + 3, y: box.y + 3, width: 0, height: labelRoom - 4 };
    taken.push(spot);
    labels.push({
      text,
      x: spot.x,
      y: spot.y + spot.height / 2,
      ...(found ? {} : { onBed: true }),
    });
  }
  return { labels, letters };
}

/** A, B ... Z, A2, B2 ... */
const letterOf = (n: number): string =>
  String.fromCharCode(65 + (n % 26)) + (n < 26 ? '' : String(Math.floor(n / 26) + 1));
