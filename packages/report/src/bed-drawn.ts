import type { MapPlot } from './bed-plots';
import { type Box, thumb } from './frame';

export type PlacedPlot = { readonly plot: MapPlot; readonly box: Box };
export type BedLabel = {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  /** Centred on x, not begun there. */
  readonly middle?: boolean;
  /** Stands on the bed itself, so it needs a ground of its own. */
  readonly onBed?: boolean;
};

export type BedLayout = {
  readonly kind: 'to-scale' | 'schematic';
  readonly plots: readonly PlacedPlot[];
  readonly beds: readonly Box[];
  readonly labels: readonly BedLabel[];
  /** Ground within beds where no plot can lie. */
  readonly blocked: readonly (Box & { readonly why: 'path' | 'unusable' })[];
  readonly bottom: number;
  /** Beds whose names had no room, by the letter that stands in their place. */
  readonly letters?: readonly (readonly [letter: string, name: string])[];
  /** Beds are drawn nearer to each other than they lie. */
  readonly drawnTogether?: boolean;
  /** Only of a map to scale: pixels in a metre, and whether north points to the right. */
  readonly perMetre?: number;
  readonly turned?: boolean;
  /** True of a grid of rows and columns. */
  readonly grid?: boolean;
};

export type BedSheet = {
  readonly width: number;
  readonly top: number;
  /** The plan ends above this where its plots then still have the room of a thumb. */
  readonly bottom?: number | undefined;
  /** Side that every plot has at least for a finger, pixels; 44 where left out. */
  readonly target?: number | undefined;
};

export const edge = 10;
export const labelRoom = 22;
export const bedGap = 18;
/** Smallest side of a plot that is aimed for where the sheet has the room, pixels. */
export const comfortable = 78;
/** Smallest side that still has room for a mark over a figure, pixels. */
export const leastSide = 32;

/** A round length in metres whose bar is between a thumb and a third of a phone wide. */
export function scaleBar(perMetre: number): { readonly metres: number; readonly pixels: number } {
  const metres =
    [0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50, 100].find((m) => m * perMetre >= thumb) ?? 100;
  return { metres, pixels: metres * perMetre };
}
