import { type Ground, openSpans, type Size, type Span, startsIn } from './lanes';
import { type BedPlan, flipped, hair } from './rect';
import { type Ask, groundsOf, type Slot, sidesIn } from './slots';

type GridLane = { readonly y: number; readonly bed: string; readonly spans: readonly Span[] };

/** The stretches that two lanes have in common. */
function shared(a: readonly Span[], b: readonly Span[]): Span[] {
  return a.flatMap(([from, to]) =>
    b.flatMap(([otherFrom, otherTo]): Span[] => {
      const [start, end] = [Math.max(from, otherFrom), Math.min(to, otherTo)];
      return end > start + hair ? [[start, end]] : [];
    }),
  );
}

/** Lanes a whole pitch apart, from the ground's edge or the far side of what is blocked. */
function lanesFrom(ground: Ground, bed: string, size: Size, order: number): GridLane[][] {
  const { free, blocked } = ground;
  const anchors = [free.y, ...blocked.map((b) => b.y + b.height)].filter((y) => y >= free.y - hair);
  const pitch = size.deep + size.buffer;
  return anchors.map((anchor) => {
    const room = Math.floor((free.y + free.height - size.deep - anchor + hair) / pitch) + 1;
    return Array.from({ length: Math.max(0, Math.min(room, 2 * order)) }, (_, i) => {
      const y = anchor + i * pitch;
      return { y, bed, spans: openSpans(ground, y, size.deep) };
    });
  });
}

/** Plots in rows and columns on these lanes, or undefined where they hold too few columns. */
function gridOn(lanes: readonly GridLane[], size: Size, order: number): Slot[] | undefined {
  const [first, ...others] = lanes;
  if (!first) return undefined;
  const spans = others.reduce<readonly Span[]>((so, lane) => shared(so, lane.spans), first.spans);
  const starts = startsIn(spans, size, order);
  if (starts.length < order) return undefined;
  return lanes.flatMap(({ y, bed }) =>
    starts.map((x) => ({
      x,
      y: Math.round(y * 1e6) / 1e6,
      width: size.long,
      height: size.deep,
      bed,
    })),
  );
}

/** Every run of `order` lanes that follow one another with no more than `reach` between them. */
function* runsOf(lanes: readonly GridLane[], size: Size, order: number, reach: number) {
  for (let i = 0; i + order <= lanes.length; i++) {
    const run = lanes.slice(i, i + order);
    const steps = run.slice(1).map((lane, k) => lane.y - (run[k]?.y ?? 0) - size.deep);
    if (steps.every((gap) => gap >= size.buffer - hair && gap <= reach + hair)) yield run;
  }
}

function gridAlongX(
  beds: readonly BedPlan[],
  grounds: readonly Ground[],
  size: Size,
  order: number,
): Slot[] | undefined {
  const perBed = beds.map((bed, i) => {
    const ground = grounds[i];
    return ground ? lanesFrom(ground, bed.id, size, order) : [];
  });
  for (const lanes of perBed.flat()) {
    for (const run of runsOf(lanes, size, order, size.buffer)) {
      const grid = gridOn(run, size, order);
      if (grid) return grid;
    }
  }
  // Narrow beds side by side make the rows together; a path narrower than a plot is stepped over.
  const all = perBed.flatMap((choices) => choices[0] ?? []).sort((a, b) => a.y - b.y);
  const reach = Math.max(size.long, size.deep, size.buffer);
  for (const run of runsOf(all, size, order, reach)) {
    const grid = gridOn(run, size, order);
    if (grid) return grid;
  }
  return undefined;
}

/** A grid of `order` rows from south to north, each of `order` plots from west to east. */
export function latinGrid(ask: Ask, order: number): readonly Slot[] | undefined {
  const grounds = groundsOf(ask);
  const { buffer } = ask;
  const sizes = ask.beds.map((bed) => sidesIn(bed, ask));
  const ways = [...new Set(sizes.map((side) => JSON.stringify(side)))];
  for (const way of ways) {
    // Plots of one square lie the same way round, so only beds that lie alike work together.
    const alike = ask.beds.map((_, i) => i).filter((i) => JSON.stringify(sizes[i]) === way);
    const side = sizes[alike[0] ?? 0];
    if (!side) continue;
    const beds = alike.flatMap((i) => ask.beds[i] ?? []);
    const own = alike.flatMap((i) => grounds[i] ?? []);
    const east = gridAlongX(beds, own, { long: side.x, deep: side.y, buffer }, order);
    if (east) return east;
    const turned = own.map(({ free, blocked }) => ({
      free: flipped(free),
      blocked: blocked.map(flipped),
    }));
    const north = gridAlongX(beds, turned, { long: side.y, deep: side.x, buffer }, order);
    if (north) return byRows(north.map(flipped), order);
  }
  return undefined;
}

/** Columns given one after another, as rows from south to north. */
const byRows = (slots: readonly Slot[], order: number): Slot[] =>
  Array.from({ length: order }, (_, row) =>
    Array.from({ length: order }, (_c, column) => slots[column * order + row]),
  )
    .flat()
    .filter((slot) => slot !== undefined);
