import { type Ground, type Piece, stretches } from './ground';
import type { Box } from './ink';

/** A piece of ground on the paper; `perMetre` and the way it is turned hold for all of a plan. */
export type Placed = { readonly piece: Piece; readonly at: Box };
export type Plan = {
  readonly pages: readonly (readonly Placed[])[];
  /** Millimetres on paper for a metre of ground. */
  readonly perMetre: number;
  /** A quarter turn: north to the right. */
  readonly turned: boolean;
  /** 1 : this; undefined where the plan is not to scale. */
  readonly scale: number | undefined;
};
type Room = { readonly width: number; readonly height: number };

/** Above every piece for its name, and between pieces side by side, millimetres. */
export const nameRoom = 7;
const gap = 8;
/** Round all beds drawn in one piece, for their names. */
const rim = 6;

const scales = [
  5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500,
  2000, 3000, 5000, 10000,
];
/** A cell of a plan without scale is at most this wide, so that few plots don't fill a page. */
const widestCell = 26;

type Way = {
  readonly turned: boolean;
  readonly kind: 'whole' | 'column' | 'row';
};

const sizeOf = ({ area }: Piece, turned: boolean): Room =>
  turned ? { width: area.height, height: area.width } : { width: area.width, height: area.height };

const sum = (numbers: readonly number[]): number => numbers.reduce((all, one) => all + one, 0);

/** Largest millimetres in a metre at which pieces fit a room. */
function largest(pieces: readonly Piece[], room: Room, { turned, kind }: Way): number {
  const sizes = pieces.map((piece) => sizeOf(piece, turned));
  const widths = sizes.map((size) => size.width);
  const heights = sizes.map((size) => size.height);
  if (kind === 'whole') {
    return Math.min((room.width - 2 * rim) / sum(widths), (room.height - 2 * rim) / sum(heights));
  }
  const gaps = (pieces.length - 1) * gap;
  return kind === 'row'
    ? Math.min((room.width - gaps) / sum(widths), (room.height - nameRoom) / Math.max(...heights))
    : Math.min(
        room.width / Math.max(...widths),
        (room.height - pieces.length * nameRoom - gaps / 2) / sum(heights),
      );
}

/** The roundest scale that is not larger than `most` millimetres a metre. */
function rounded(most: number, toScale: boolean): Pick<Plan, 'perMetre' | 'scale'> {
  if (!toScale) return { perMetre: Math.min(most, widestCell), scale: undefined };
  const scale = scales.find((of) => 1000 / of <= most + 1e-9) ?? Math.ceil(1000 / most);
  return { perMetre: 1000 / scale, scale };
}

function placed(pieces: readonly Piece[], perMetre: number, { turned, kind }: Way): Placed[] {
  let [x, y] = kind === 'whole' ? [rim, rim] : [0, nameRoom];
  return pieces.map((piece) => {
    const size = sizeOf(piece, turned);
    const at = { x, y, width: size.width * perMetre, height: size.height * perMetre };
    if (kind === 'row') x += at.width + gap;
    else y += at.height + nameRoom + gap / 2;
    return { piece, at };
  });
}

type Need = {
  /** Smallest side a plot should have on paper, millimetres. */
  readonly side: number;
};

const smallestSide = (pieces: readonly Piece[]): number =>
  Math.min(...pieces.flatMap(({ plots }) => plots.flatMap(({ box }) => [box.width, box.height])));

/** On one page, beds where they lie or side by side, whichever is larger. */
function onOnePage(ground: Ground, room: Room): Plan {
  const ways: Way[] = (
    ground.whole ? ['whole' as const] : ['column' as const, 'row' as const]
  ).flatMap((kind) =>
    (ground.toScale ? [false, true] : [false]).map((turned) => ({ kind, turned })),
  );
  const plans = ways.map((way) => {
    const pieces = way.kind === 'whole' && ground.whole ? [ground.whole] : ground.pieces;
    const found = rounded(largest(pieces, room, way), ground.toScale);
    return { ...found, turned: way.turned, pages: [placed(pieces, found.perMetre, way)] };
  });
  return plans.reduce((best, plan) => (plan.perMetre > best.perMetre + 1e-9 ? plan : best));
}

/** Beds one by one, cut into stretches where long, over as many pages as that takes. */
function onPages(ground: Ground, rooms: (page: number) => Room, need: Need): Plan {
  const room = rooms(1);
  const high = room.height - nameRoom;
  const across = Math.max(...ground.pieces.map(({ area }) => Math.min(area.width, area.height)));
  const sides = ground.pieces.flatMap(({ plots }) =>
    plots.map(({ box }) => Math.max(box.width, box.height)),
  );
  const most = Math.min(high / across, Math.min(room.width, high) / Math.max(...sides));
  const wanted = (1.3 * Math.max(need.side, 12)) / smallestSide(ground.pieces);
  const widest = Math.max(...ground.pieces.map(({ area }) => area.width));
  const { perMetre, scale } = ground.toScale
    ? rounded(Math.min(wanted, most), true)
    : rounded(Math.min(wanted, room.width / widest), false);
  const isWide = ({ area }: Piece): boolean => area.width >= area.height;
  const turned = ground.toScale && ground.pieces.filter(isWide).length * 2 < ground.pieces.length;
  const pieces = ground.toScale
    ? ground.pieces.flatMap((piece) => {
        const lies = isWide(piece) !== turned;
        return stretches(piece, (lies ? room.width : room.height - nameRoom) / perMetre);
      })
    : ground.pieces;
  const pages: Placed[][] = [[]];
  let y = 0;
  for (const piece of pieces) {
    const size = sizeOf(piece, turned);
    const height = size.height * perMetre;
    const page = pages.at(-1) ?? [];
    if (page.length > 0 && y + nameRoom + height > rooms(pages.length - 1).height + 1e-9) {
      pages.push([]);
      y = 0;
    }
    const at = { x: 0, y: y + nameRoom, width: size.width * perMetre, height };
    pages.at(-1)?.push({ piece, at });
    y += nameRoom + height + gap / 2;
  }
  return { pages, perMetre, turned, scale };
}

/**
 * Puts the ground on paper at a round scale. One page where plots then still have sides of
 * `need.side` millimetres, else bed by bed over several. `rooms` says how much room a page has
 * (millimetres, pages from 0); places count from the corner of that room.
 */
export function arrange(ground: Ground, rooms: (page: number) => Room, need: Need): Plan {
  const one = onOnePage(ground, rooms(0));
  const smallest = smallestSide(ground.pieces);
  const side = ground.toScale ? need.side : Math.max(need.side, 13);
  return one.perMetre * smallest >= side ? one : onPages(ground, rooms, { side });
}

/** A box of ground on the paper: metres east and north to millimetres right and down. */
export function onPaper(
  box: Box,
  { piece, at }: Placed,
  plan: Pick<Plan, 'perMetre' | 'turned'>,
): Box {
  const { area } = piece;
  const east = box.x - area.x;
  const north = box.y - area.y;
  const k = plan.perMetre;
  return plan.turned
    ? { x: at.x + north * k, y: at.y + east * k, width: box.height * k, height: box.width * k }
    : {
        x: at.x + east * k,
        y: at.y + (area.height - north - box.height) * k,
        width: box.width * k,
        height: box.height * k,
      };
}
