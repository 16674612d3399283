import { type Ground, type Lane, lanesIn, type Size } from './lanes';
import { type BedPlan, flipped, grown, inGarden, isCloser, type Rect } from './rect';

/** What decides where plots can lie, whatever the design. */
export type Ask = {
  readonly beds: readonly BedPlan[];
  /** Metres: `width` lies across the bed (its shorter side), `length` along it. */
  readonly plot: { readonly width: number; readonly length: number };
  /** Metres kept free between plots, also between those of neighbouring beds. */
  readonly buffer: number;
  /** Guard strip, metres: kept free along every edge of a bed and of blocked ground. */
  readonly edge: number;
};

/** A place where a plot can lie, in the garden's own metres. */
export type Slot = Rect & { readonly bed: string };

/** Is the bed longer from west to east than from south to north? */
const isLying = (bed: Rect): boolean => bed.width > bed.height;

/** A plot's sides in the garden, as it lies in this bed. */
export const sidesIn = (bed: Rect, { plot }: Ask): { readonly x: number; readonly y: number } =>
  isLying(bed) ? { x: plot.length, y: plot.width } : { x: plot.width, y: plot.length };

/**
 * The ground of each bed. Beds nearer to each other than the buffer share what lies between: the
 * later one keeps its distance.
 */
export function groundsOf({ beds, buffer, edge }: Ask): readonly Ground[] {
  const free = beds.map((bed) => grown(bed, -edge));
  return beds.map((bed, i) => {
    const own = (bed.blocked ?? []).map((b) => grown(inGarden(b, bed), edge));
    const near = free.slice(0, i).filter((other) => isCloser(other, free[i] ?? bed, buffer));
    return {
      free: free[i] ?? bed,
      blocked: [...own, ...near.map((other) => grown(other, buffer))],
    };
  });
}

const flippedGround = ({ free, blocked }: Ground): Ground => ({
  free: flipped(free),
  blocked: blocked.map(flipped),
});

const countOf = (lanes: readonly Lane[]): number =>
  lanes.reduce((sum, lane) => sum + lane.starts.length, 0);

/**
 * Every place for a plot in every bed: in lanes along the bed or, where more fit so, across it.
 * `most`: no lane and no number of lanes above this is of use.
 */
export function slotsIn(ask: Ask, most: number): readonly Slot[] {
  const grounds = groundsOf(ask);
  return ask.beds.flatMap((bed, i): Slot[] => {
    const ground = grounds[i];
    if (!ground) return [];
    const sides = sidesIn(bed, ask);
    const { buffer } = ask;
    const eastward = lanesIn(ground, { long: sides.x, deep: sides.y, buffer }, most);
    const size: Size = { long: sides.y, deep: sides.x, buffer };
    const northward = lanesIn(flippedGround(ground), size, most);
    const [east, north] = [countOf(eastward), countOf(northward)];
    const useEast = isLying(bed) ? east >= north : east > north;
    const size2 = { width: sides.x, height: sides.y, bed: bed.id };
    return useEast
      ? eastward.flatMap(({ y, starts }) => starts.map((x) => ({ x, y, ...size2 })))
      : northward.flatMap(({ y: x, starts }) => starts.map((y) => ({ x, y, ...size2 })));
  });
}
