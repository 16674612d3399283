import type { Problem } from '@fairbed/field';
import type { LayoutSet, Random } from '@fairbed/stats';
import { allLatinSquares, complete, countAutotopisms, redraw, type Square } from './latin-square';
import type { DesignKind, Plot } from './schema';

/** What of a trial its layouts hang on: so a plan that is not yet a trial has layouts too. */
export type Laid = {
  readonly design: { readonly kind: DesignKind };
  readonly treatments: readonly { readonly id: string }[];
  readonly plots: readonly Plot[];
};

/** The layouts the draw of a trial could have given, for the plots asked about. */
export type Layouts = {
  /** Order of the labels. */
  readonly plots: readonly string[];
  /** Label i stands for treatment i of this list. */
  readonly treatments: readonly string[];
  /** The layout that was drawn. */
  readonly labels: Uint8Array;
  readonly set: LayoutSet;
  readonly count: bigint;
  /** False where `count` is only known not to be passed. */
  readonly exactCount: boolean;
  readonly notes: readonly Problem[];
};

const factorial = (n: number): bigint => {
  let product = 1n;
  for (let i = 2; i <= n; i++) product *= BigInt(i);
  return product;
};

/** Ways to put things of several kinds in order: n! / (r1! r2! ...). */
function arrangements(kinds: readonly (string | number)[]): bigint {
  const counts = new Map<string | number, number>();
  for (const kind of kinds) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  return [...counts.values()].reduce((ways, r) => ways / factorial(r), factorial(kinds.length));
}

/** Places of the plots by a key, in order of first appearance. */
function groupBy(plots: readonly Plot[], key: (plot: Plot) => string): number[][] {
  const groups = new Map<string, number[]>();
  plots.forEach((plot, i) => {
    const group = groups.get(key(plot)) ?? [];
    group.push(i);
    groups.set(key(plot), group);
  });
  return [...groups.values()];
}

type Drawn = Pick<Layouts, 'set' | 'count' | 'exactCount'> & {
  readonly notes?: readonly Problem[];
};
type Base = { readonly trial: Laid; readonly plots: readonly Plot[]; readonly labels: Uint8Array };

function strataLayouts({ plots, labels }: Base, key: (plot: Plot) => string): Drawn {
  const strata = groupBy(plots, key);
  const count = strata.reduce(
    (ways, places) => ways * arrangements(places.map((i) => labels[i] ?? 0)),
    1n,
  );
  return { set: { kind: 'strata', strata }, count, exactCount: true };
}

const blockOf = (plot: Plot): string => plot.block ?? '';

/** The whole square of the trial and the cell of each plot asked about. */
function squareOf(base: Base, treatments: readonly string[]) {
  const { trial, plots } = base;
  const rows = [...new Set(trial.plots.map(({ row }) => row))];
  const columns = [...new Set(trial.plots.map(({ column }) => column))];
  const order = treatments.length;
  if (rows.length !== order || columns.length !== order) return undefined;
  const cellOf = ({ row, column }: Plot): number =>
    row === undefined || column === undefined
      ? -1
      : rows.indexOf(row) * order + columns.indexOf(column);
  const cells = new Uint8Array(order * order).fill(255);
  for (const plot of trial.plots) {
    const cell = cellOf(plot);
    if (cell < 0 || cells[cell] !== 255) return undefined;
    cells[cell] = treatments.indexOf(plot.treatment);
  }
  const square = complete({ order, cells });
  return square && { square, cells: plots.map(cellOf) };
}

/** Largest order of which all squares are listed, and of which autotopisms are counted. */
const listedUpTo = 5;
const countedUpTo = 8;

function listedSquares(order: number, cells: readonly number[]): Drawn {
  const { squares, count } = allLatinSquares(order);
  const labels = new Uint8Array(count * cells.length);
  for (let i = 0; i < count; i++) {
    cells.forEach((cell, k) => {
      labels[i * cells.length + k] = squares[i * order * order + cell] ?? 0;
    });
  }
  return { set: { kind: 'list', labels, count }, count: BigInt(count), exactCount: true };
}

function redrawnSquares(square: Square, cells: readonly number[]): Drawn {
  const { order } = square;
  const whole = new Uint8Array(order * order);
  const all = factorial(order) ** 3n;
  const counted = order <= countedUpTo;
  return {
    set: {
      kind: 'draw',
      draw: (random, out) => {
        redraw(square, random, whole);
        cells.forEach((cell, k) => {
          out[k] = whole[cell] ?? 0;
        });
      },
    },
    count: counted ? all / BigInt(countAutotopisms(square)) : all,
    exactCount: counted,
    notes: counted
      ? []
      : [
          {
            kind: 'note',
            code: 'layouts-at-most',
            what: `A Latin square of order ${order} is too large to count its layouts; there are at most as many as stated.`,
            do: '',
          },
        ],
  };
}

function latinLayouts(base: Base, treatments: readonly string[]): Drawn | undefined {
  const drawn = squareOf(base, treatments);
  if (drawn === undefined) return undefined;
  return drawn.square.order <= listedUpTo
    ? listedSquares(drawn.square.order, drawn.cells)
    : redrawnSquares(drawn.square, drawn.cells);
}

type WholePlot = { readonly places: readonly number[]; readonly hand: readonly number[] };

/** Whole plots that could have changed hands: those of one block with as many plots each. */
function wholePlotGroups({ plots, labels }: Base): WholePlot[][] {
  const groups = new Map<string, WholePlot[]>();
  for (const places of groupBy(plots, (p) => JSON.stringify([p.block, p.wholePlot]))) {
    const hand = places.map((i) => labels[i] ?? 0);
    const key = JSON.stringify([plots[places[0] ?? 0]?.block, places.length]);
    const group = groups.get(key) ?? [];
    group.push({ places, hand });
    groups.set(key, group);
  }
  return [...groups.values()];
}

/**
 * A split plot was drawn twice: the whole plots of a block were dealt their hands (the treatments
 * that go together in one whole plot), then each hand was shuffled inside its whole plot.
 */
function splitPlotLayouts(base: Base): Drawn {
  const groups = wholePlotGroups(base);
  const count = groups.reduce(
    (ways, group) =>
      group.reduce((inner, { hand }) => inner * arrangements(hand), ways) *
      arrangements(group.map(({ hand }) => JSON.stringify(hand.toSorted((a, b) => a - b)))),
    1n,
  );
  const draw = (random: Random, out: Uint8Array): void => {
    for (const group of groups) {
      const hands = group.map(({ hand }) => hand);
      random.shuffle(hands);
      group.forEach(({ places }, w) => {
        const hand = Uint8Array.from(hands[w] ?? []);
        random.shuffle(hand);
        places.forEach((place, k) => {
          out[place] = hand[k] ?? 0;
        });
      });
    }
  };
  const wholePlots = groups.map((group) => group.map(({ places }) => places));
  return { set: { kind: 'draw', draw, wholePlots }, count, exactCount: true };
}

function drawnBy(base: Base, treatments: readonly string[]): Drawn | undefined {
  switch (base.trial.design.kind) {
    case 'completely-randomised':
    case 'unreplicated':
      return strataLayouts(base, () => '');
    case 'randomised-blocks':
    case 'incomplete-blocks':
      return strataLayouts(base, blockOf);
    case 'latin-square':
      return latinLayouts(base, treatments);
    case 'split-plot':
      return splitPlotLayouts(base);
  }
}

/**
 * The layouts the draw could have given, for `plots` (those with a value; all where left out).
 * Completely randomised: any order. Blocks, complete or not: any order within each block. Latin
 * square: all squares of its order up to 5, above that all reorderings of the drawn square's rows,
 * columns and symbols, n!^3 / autotopisms of them. Split plot: hands among whole plots of a block,
 * then plots within. Without lost plots the count is that of the whole draw; with them the labels
 * of the plots that are left change places (for a Latin square, the cells that are left are read
 * from whole squares). Undefined where the plan can't be made out (a Latin square without rows and
 * columns) or there are more than 256 treatments.
 */
export function layoutsOf(trial: Laid, plots?: readonly string[]): Layouts | undefined {
  const wanted = plots === undefined ? undefined : new Set(plots);
  const used = trial.plots.filter(({ id }) => wanted?.has(id) ?? true);
  const square = trial.design.kind === 'latin-square';
  const present = new Set((square ? trial.plots : used).map(({ treatment }) => treatment));
  const treatments = trial.treatments.map(({ id }) => id).filter((id) => present.has(id));
  if (treatments.length > 256) return undefined;
  const labels = Uint8Array.from(used, ({ treatment }) => treatments.indexOf(treatment));
  const drawn = drawnBy({ trial, plots: used, labels }, treatments);
  if (drawn === undefined) return undefined;
  return {
    plots: used.map(({ id }) => id),
    treatments,
    labels,
    set: drawn.set,
    count: drawn.count,
    exactCount: drawn.exactCount,
    notes: drawn.notes ?? [],
  };
}
