import { hair, type Rect } from './rect';

/**
 * Ground and lanes with the lanes running along x; ground that lies the other way is flipped
 * before and after. A plot is `long` metres along its lane and `deep` metres across it.
 */
export type Ground = { readonly free: Rect; readonly blocked: readonly Rect[] };
export type Size = { readonly long: number; readonly deep: number; readonly buffer: number };
export type Lane = { readonly y: number; readonly starts: readonly number[] };
export type Span = readonly [from: number, to: number];

/** Whole micrometres: sums of decimal lengths keep no tail of binary digits. */
const tidy = (metres: number): number => Math.round(metres * 1e6) / 1e6;

/** The stretches of a lane from y to y + deep that nothing blocks, west to east. */
export function openSpans({ free, blocked }: Ground, y: number, deep: number): Span[] {
  const inTheWay = blocked
    .filter((b) => b.y < y + deep - hair && b.y + b.height > y + hair)
    .sort((a, b) => a.x - b.x);
  const end = free.x + free.width;
  const spans: Span[] = [];
  let from = free.x;
  for (const b of inTheWay) {
    if (b.x > from + hair) spans.push([from, Math.min(b.x, end)]);
    from = Math.max(from, b.x + b.width);
  }
  if (end > from + hair) spans.push([from, end]);
  return spans;
}

/** As many plots as the stretches hold, each as far west as it goes: no order holds more. */
export function startsIn(spans: readonly Span[], { long, buffer }: Size, most: number): number[] {
  const starts: number[] = [];
  let next = -Infinity;
  for (const [from, to] of spans) {
    let x = Math.max(from, next);
    while (x + long <= to + hair && starts.length < most) {
      starts.push(tidy(x));
      x += long + buffer;
      next = x;
    }
  }
  return starts;
}

/** Where lanes may begin: at an edge of the ground, or whole lanes further. */
function laneStarts({ free, blocked }: Ground, { deep, buffer }: Size, most: number): number[] {
  const last = free.y + free.height - deep + hair;
  const anchors = [free.y, ...blocked.map((b) => b.y + b.height)].filter((y) => y >= free.y - hair);
  const all = anchors.flatMap((anchor) => {
    const count = Math.floor((last - anchor) / (deep + buffer)) + 1;
    return Array.from({ length: Math.max(0, Math.min(count, most)) }, (_, i) =>
      tidy(anchor + i * (deep + buffer)),
    );
  });
  return [...new Set(all)].sort((a, b) => a - b);
}

/** The lanes that hold the most plots together: the best choice among all places they may begin. */
export function lanesIn(ground: Ground, size: Size, most: number): Lane[] {
  const ys = laneStarts(ground, size, most);
  const lanes = ys.map((y) => ({
    y,
    starts: startsIn(openSpans(ground, y, size.deep), size, most),
  }));
  const pitch = size.deep + size.buffer;
  // best[i]: plots in the best choice from lane i on; the lane after i begins a pitch further.
  const best = new Array<number>(ys.length + 1).fill(0);
  const after = ys.map((y) => {
    const next = ys.findIndex((other) => other >= y + pitch - hair);
    return next < 0 ? ys.length : next;
  });
  for (let i = ys.length - 1; i >= 0; i--) {
    const taken = (lanes[i]?.starts.length ?? 0) + (best[after[i] ?? ys.length] ?? 0);
    best[i] = Math.max(taken, best[i + 1] ?? 0);
  }
  const chosen: Lane[] = [];
  for (let i = 0; i < ys.length; ) {
    const lane = lanes[i];
    const taken = (lane?.starts.length ?? 0) + (best[after[i] ?? ys.length] ?? 0);
    if (lane && lane.starts.length > 0 && taken === best[i]) {
      chosen.push(lane);
      i = after[i] ?? ys.length;
    } else i += 1;
  }
  return ground.blocked.length === 0 ? centred(chosen, ground.free, size) : chosen;
}

/** Shares out what is left over at the far ends, in whole centimetres. */
function centred(lanes: readonly Lane[], free: Rect, { long, deep }: Size): Lane[] {
  const lastY = Math.max(...lanes.map((lane) => lane.y));
  const lastX = Math.max(...lanes.flatMap((lane) => lane.starts));
  const half = (left: number): number => Math.max(0, Math.floor(left * 50 + hair) / 100);
  const right = half(free.x + free.width - lastX - long);
  const up = half(free.y + free.height - lastY - deep);
  return lanes.map(({ y, starts }) => ({
    y: tidy(y + up),
    starts: starts.map((x) => tidy(x + right)),
  }));
}
