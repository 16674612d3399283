import { bladeArea, bladeRange, bladeSpans, leafBox } from './leaf-shape';

/** A round spot of the disease. */
export type Pustule = { readonly x: number; readonly y: number; readonly r: number };

type Site = { readonly x: number; readonly y: number; readonly size: number };

/** Enough for three quarters of a leaf without pustules larger than the real ones look. */
const siteCount = 620;
/** How many sites are tried for each pustule: the one farthest from the others is taken. */
const tries = 5;
/** In units of pustules that came later: how fast one grows. */
const growth = 9;
const rowStep = 0.2;

/** Seeded chance, so that the same leaf is drawn everywhere (Mulberry32, 32-bit integers). */
function chance(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

type Span = readonly [from: number, to: number];

/** Stretches of blade on level lines `rowStep` apart. */
const bladeRows: readonly (readonly Span[])[] = Array.from(
  { length: Math.round((bladeRange[1] - bladeRange[0]) / rowStep) },
  (_, row) => bladeSpans(bladeRange[0] + (row + 0.5) * rowStep),
);

const isOnBlade = (x: number, y: number): boolean =>
  bladeRows[Math.floor((y - bladeRange[0]) / rowStep)]?.some(
    ([from, to]) => x >= from && x <= to,
  ) ?? false;

/** Square of the distance from a place to the nearest site. */
function nearest(found: readonly Site[], x: number, y: number): number {
  let least = Infinity;
  for (const site of found) least = Math.min(least, (site.x - x) ** 2 + (site.y - y) ** 2);
  return least;
}

/** Places of pustules in the order in which they come, kept a little apart (best candidate). */
function sites(): readonly Site[] {
  const next = chance(20_260_504);
  const found: Site[] = [];
  const [low, high] = bladeRange;
  const candidate = (): readonly [number, number] => {
    for (;;) {
      const x = next() * leafBox.width;
      const y = low + next() * (high - low);
      if (isOnBlade(x, y)) return [x, y];
    }
  };
  while (found.length < siteCount) {
    let best = candidate();
    let farthest = -1;
    for (let i = 0; i < tries; i++) {
      const [x, y] = i === 0 ? best : candidate();
      const apart = nearest(found, x, y);
      if (apart > farthest) [best, farthest] = [[x, y], apart];
    }
    found.push({ x: best[0], y: best[1], size: 1.3 + 1.6 * next() ** 1.6 });
  }
  return found;
}

let remembered: readonly Site[] | undefined;

/** The pustules at a stage: 0 none, 1 all that come; after that they only grow together. */
function pustulesAt(stage: number): Pustule[] {
  remembered ??= sites();
  const born = stage * siteCount;
  return remembered.flatMap(({ x, y, size }, i): Pustule[] => {
    const age = born - i;
    if (age <= 0) return [];
    const r = size * (1 - Math.exp(-age / growth)) * (1 + 0.6 * stage);
    return r > 0.05 ? [{ x, y, r }] : [];
  });
}

/** Length that spans sorted by their beginning cover of a stretch. */
function covered(spans: readonly Span[], [low, high]: Span): number {
  let length = 0;
  let reached = low;
  for (const [from, to] of spans) {
    if (to <= reached) continue;
    if (from >= high) break;
    length += Math.min(to, high) - Math.max(from, reached);
    reached = Math.min(to, high);
  }
  return length;
}

/**
 * Percent of the blade that pustules cover, those that meet counted once and what reaches over the
 * margin not at all: exact along level lines a fifth of a unit apart, summed over them.
 */
export function coveredPercent(pustules: readonly Pustule[]): number {
  const [low, high] = bladeRange;
  const rows = Math.round((high - low) / rowStep);
  const chords: Span[][] = Array.from({ length: rows }, () => []);
  for (const { x, y, r } of pustules) {
    const first = Math.max(0, Math.ceil((y - r - low) / rowStep - 0.5));
    const last = Math.min(rows - 1, Math.floor((y + r - low) / rowStep - 0.5));
    for (let row = first; row <= last; row++) {
      const half = Math.sqrt(Math.max(0, r ** 2 - (low + (row + 0.5) * rowStep - y) ** 2));
      chords[row]?.push([x - half, x + half]);
    }
  }
  let area = 0;
  for (const [row, spans] of chords.entries()) {
    if (spans.length === 0) continue;
    spans.sort((a, b) => a[0] - b[0]);
    const blade = bladeRows[row] ?? [];
    area += blade.reduce((sum, stretch) => sum + covered(spans, stretch), 0) * rowStep;
  }
  return (100 * area) / bladeArea;
}

/** Precision wanted of the covered part, percentage points: far finer than an eye can tell. */
const precision = 0.005;

/** The pustules that cover so many percent of the blade, found by halving. */
export function pustulesFor(percent: number): readonly Pustule[] {
  if (percent <= 0) return [];
  let low = 0;
  let high = 1;
  while (coveredPercent(pustulesAt(high)) < percent) high *= 1.5;
  for (;;) {
    const stage = (low + high) / 2;
    const pustules = pustulesAt(stage);
    const found = coveredPercent(pustules);
    if (Math.abs(found - percent) <= precision || high - low < 1e-9) return pustules;
    if (found < percent) low = stage;
    else high = stage;
  }
}
