import type { Problem } from '@fairbed/field';
import { hair, type Rect } from './rect';

/** How a plot is planted. */
export type Spacing = {
  /** Metres between plants of a row. */
  readonly plants: number;
  /** Metres between rows. */
  readonly rows: number;
  /** Outer rows on each side that are not scored. 0 where left out. */
  readonly guardRows?: number | undefined;
  /** Plants at each end of a row that are not scored; as many as `guardRows` where left out. */
  readonly guardPlants?: number | undefined;
  /** The way rows run; the plot's longer side where left out. */
  readonly rowsRun?: 'east' | 'north' | undefined;
  /** Plants to score in each plot, spread evenly over those that are no guards; all where left out. */
  readonly score?: number | undefined;
};

/** A plant, in the same metres as the plot. `spare`: no guard, yet not among those to score. */
export type Plant = {
  readonly x: number;
  readonly y: number;
  readonly row: number;
  readonly use: 'scored' | 'guard' | 'spare';
  /** 1, 2 ... among the scored plants, along the walk; undefined for others. */
  readonly number?: number;
};

export type Planted =
  | {
      readonly ok: true;
      /** In the order of a walk: up one row and down the next. */
      readonly plants: readonly Plant[];
      readonly rows: number;
      readonly perRow: number;
      readonly scored: number;
      readonly guards: number;
    }
  | { readonly ok: false; readonly problem: Problem };

const mostPlants = 10_000;

const fault = (code: string, what: string, remedy: string): Planted => ({
  ok: false,
  problem: { kind: 'fault', code, what, do: remedy },
});

function spacingFault(spacing: Spacing): Planted | undefined {
  const { plants, rows, guardRows = 0, guardPlants = guardRows, score = 1 } = spacing;
  const isApart = (metres: number): boolean => Number.isFinite(metres) && metres >= 0.01;
  if (!isApart(plants) || !isApart(rows)) {
    return fault(
      'plant-spacing',
      `Plants and rows must stand at least 0.01 m apart; got ${plants} and ${rows}.`,
      'Correct the spacing.',
    );
  }
  const isCount = (n: number): boolean => Number.isInteger(n) && n >= 0;
  if (![guardRows, guardPlants, score].every(isCount) || score < 1) {
    return fault(
      'plant-count',
      `Guard rows, guard plants and plants to score must be whole numbers; got ${guardRows}, ${guardPlants} and ${score}.`,
      'Correct them.',
    );
  }
  return undefined;
}

/** Places of rows or of plants on a side, as many as it holds at half a spacing from its ends. */
function along(from: number, length: number, spacing: number): number[] {
  const count = Math.max(1, Math.floor((length + hair) / spacing));
  const first = from + (length - (count - 1) * spacing) / 2;
  return Array.from({ length: count }, (_, i) => Math.round((first + i * spacing) * 1e6) / 1e6);
}

/** `wanted` of `count` things, spread evenly; all where fewer are there. */
function spreadOver(count: number, wanted: number): ReadonlySet<number> {
  if (wanted >= count) return new Set(Array.from({ length: count }, (_, i) => i));
  return new Set(
    Array.from({ length: wanted }, (_, i) => Math.floor(((i + 0.5) * count) / wanted)),
  );
}

/**
 * The plants of a plot: where they stand, which are guards, which are scored and in what order. Rows
 * and plants are centred, so that the outer ones stand half a spacing or more from the plot's edge.
 *
 * @returns plants along a walk up and down the rows; a problem where none would be left to score.
 */
export function plantsIn(plot: Rect, spacing: Spacing): Planted {
  const bad = spacingFault(spacing);
  if (bad) return bad;
  const { guardRows = 0, guardPlants = guardRows, score = Infinity } = spacing;
  const isEast = (spacing.rowsRun ?? (plot.width > plot.height ? 'east' : 'north')) === 'east';
  const rows = isEast
    ? along(plot.y, plot.height, spacing.rows)
    : along(plot.x, plot.width, spacing.rows);
  const inRow = isEast
    ? along(plot.x, plot.width, spacing.plants)
    : along(plot.y, plot.height, spacing.plants);
  if (rows.length * inRow.length > mostPlants) {
    return fault(
      'too-many-plants',
      `A plot would hold ${rows.length * inRow.length} plants; Fairbed draws up to ${mostPlants}.`,
      'Correct the spacing: it is in metres.',
    );
  }
  const isGuard = (place: number, of: number, outer: number): boolean =>
    place < outer || place >= of - outer;
  const standing = rows.flatMap((across, row) => {
    const ups = inRow.map((down, place) => ({ down, place }));
    return (row % 2 === 1 ? ups.reverse() : ups).map(({ down, place }) => ({
      ...(isEast ? { x: down, y: across } : { x: across, y: down }),
      row: row + 1,
      guard: isGuard(row, rows.length, guardRows) || isGuard(place, inRow.length, guardPlants),
    }));
  });
  const inner = standing.filter((plant) => !plant.guard).length;
  if (inner === 0) {
    return fault(
      'only-guards',
      `${rows.length} rows of ${inRow.length} plants leave none to score: all are guards.`,
      'Plan larger plots, fewer guard rows or a closer spacing.',
    );
  }
  const chosen = spreadOver(inner, score);
  let seen = -1;
  let number = 0;
  const plants = standing.map(({ guard, ...plant }): Plant => {
    if (guard) return { ...plant, use: 'guard' };
    seen += 1;
    if (!chosen.has(seen)) return { ...plant, use: 'spare' };
    number += 1;
    return { ...plant, use: 'scored', number };
  });
  return {
    ok: true,
    plants,
    rows: rows.length,
    perRow: inRow.length,
    scored: number,
    guards: standing.length - inner,
  };
}
