import type { Problem } from '@fairbed/field';
import { middleOf, type Rect } from './rect';

export type BaselineBlocks =
  | {
      readonly ok: true;
      /** Indices of the cells of each block, from the least diseased block to the most. */
      readonly blocks: readonly (readonly number[])[];
      /** The block of every cell, counted from 1. */
      readonly blockOf: readonly number[];
      /** What had to be decided: plots without a value, equal values parted. */
      readonly notes: readonly Problem[];
    }
  | { readonly ok: false; readonly problem: Problem };

type Value = number | null | undefined;

const isGiven = (value: Value): value is number =>
  typeof value === 'number' && Number.isFinite(value);

const fault = (code: string, what: string, remedy: string): BaselineBlocks => ({
  ok: false,
  problem: { kind: 'fault', code, what, do: remedy },
});

const note = (code: string, what: string, remedy: string): Problem => ({
  kind: 'note',
  code,
  what,
  do: remedy,
});

/** The value of the nearest cell that has one, in the same bed where there is such a cell. */
function nearestValue(
  cells: readonly (Rect & { readonly bed: string })[],
  values: readonly Value[],
  i: number,
): number {
  const own = cells[i];
  let best = { away: Infinity, value: 0 };
  cells.forEach((cell, k) => {
    const value = values[k];
    if (!own || !isGiven(value)) return;
    const [a, b] = [middleOf(own), middleOf(cell)];
    const away = Math.hypot(a.x - b.x, a.y - b.y) + (cell.bed === own.bed ? 0 : 1e6);
    if (away < best.away) best = { away, value };
  });
  return best.value;
}

const listed = (indices: readonly number[]): string => indices.map((i) => i + 1).join(', ');

/**
 * Blocks of plots alike in what was scored before any treatment (last week's disease): plots sorted
 * by that value and cut into blocks of `perBlock`. Equal values stay in the order of the cells; a
 * plot without a value is taken to be like the nearest plot that has one. Both are said in `notes`.
 *
 * @param values one a cell, in their order; null or undefined where a plot was not scored.
 */
export function blocksByBaseline(
  cells: readonly (Rect & { readonly bed: string })[],
  values: readonly Value[],
  perBlock: number,
): BaselineBlocks {
  if (values.length !== cells.length) {
    return fault(
      'baseline-length',
      `There are ${values.length} values for ${cells.length} plots.`,
      'Give one value a plot.',
    );
  }
  if (!Number.isInteger(perBlock) || perBlock < 1 || cells.length % perBlock !== 0) {
    return fault(
      'baseline-blocks',
      `${cells.length} plots cannot be cut into blocks of ${perBlock}.`,
      'Leave plots out or add some, so that every block is full.',
    );
  }
  const missing = values.flatMap((value, i) => (isGiven(value) ? [] : [i]));
  if (missing.length === cells.length) {
    return fault(
      'baseline-missing',
      'No plot has a value.',
      'Score the plots once, then form blocks.',
    );
  }
  const filled = values.map((v, i) => (isGiven(v) ? v : nearestValue(cells, values, i)));
  const at = (i: number): number => filled[i] ?? 0;
  const order = cells.map((_, i) => i).sort((a, b) => at(a) - at(b) || a - b);
  const blocks = Array.from({ length: cells.length / perBlock }, (_, k) =>
    order.slice(k * perBlock, (k + 1) * perBlock),
  );
  const blockOf = new Array<number>(cells.length).fill(0);
  blocks.forEach((block, k) => {
    for (const i of block) blockOf[i] = k + 1;
  });
  return { ok: true, blocks, blockOf, notes: notesOn(blocks, filled, missing) };
}

function notesOn(
  blocks: readonly (readonly number[])[],
  filled: readonly number[],
  missing: readonly number[],
): readonly Problem[] {
  const at = (i: number | undefined): number | undefined => (i === undefined ? i : filled[i]);
  const cuts = blocks.slice(1).flatMap((block, k) => {
    const value = at(block[0]);
    return value !== undefined && value === at(blocks[k]?.at(-1)) ? [value] : [];
  });
  const isFlat = blocks.length > 1 && new Set(filled).size === 1;
  return [
    ...(missing.length === 0
      ? []
      : [
          note(
            'baseline-filled',
            missing.length === 1
              ? `Plot ${listed(missing)} has no value; it is taken to be like the nearest plot that has one.`
              : `Plots ${listed(missing)} have no value; each is taken to be like the nearest plot that has one.`,
            'Score them if you can.',
          ),
        ]),
    ...(isFlat
      ? [
          note(
            'baseline-flat',
            'All plots have the same value, so it cannot form blocks.',
            'Form blocks by place.',
          ),
        ]
      : []),
    ...(cuts.length === 0 || isFlat
      ? []
      : [
          note(
            'baseline-ties',
            `Plots of the same value (${[...new Set(cuts)].join(', ')}) were parted between blocks, in the order of their places.`,
            '',
          ),
        ]),
  ];
}
