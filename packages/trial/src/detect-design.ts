import type { Problem } from '@fairbed/field';
import type { DesignKind, Plot } from './schema';

/** What of a plot tells the design. */
type Placed = Pick<Plot, 'treatment' | 'block' | 'row' | 'column' | 'wholePlot'>;

export type DetectedDesign = { readonly kind: DesignKind; readonly notes: readonly Problem[] };

const plain = (kind: DesignKind): DetectedDesign => ({ kind, notes: [] });
const asked = (kind: DesignKind, code: string, what: string): DetectedDesign => ({
  kind,
  notes: [{ kind: 'question', code, what, do: 'Say how the places were drawn if this is wrong.' }],
});

const countBy = (keys: readonly string[]): ReadonlyMap<string, number> => {
  const counts = new Map<string, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return counts;
};

const most = (counts: ReadonlyMap<string, number>): number => Math.max(0, ...counts.values());

/** Rows, columns and treatments equal in number, each treatment at most once in a row or column. */
function asLatinSquare(plots: readonly Placed[], treatments: number): DetectedDesign | undefined {
  const given = plots.flatMap(({ row, column, treatment }) =>
    row === undefined || column === undefined ? [] : [{ row, column, treatment }],
  );
  if (given.length < plots.length) return undefined;
  const rows = new Set(given.map(({ row }) => row)).size;
  const columns = new Set(given.map(({ column }) => column)).size;
  const pairs = (key: (p: (typeof given)[number]) => readonly [string, string]) =>
    most(countBy(given.map((p) => JSON.stringify(key(p)))));
  const once =
    pairs((p) => [p.row, p.column]) === 1 &&
    pairs((p) => [p.row, p.treatment]) === 1 &&
    pairs((p) => [p.column, p.treatment]) === 1;
  const missing = treatments * treatments - plots.length;
  if (rows !== treatments || columns !== treatments || !once || missing > treatments) {
    return undefined;
  }
  return missing === 0
    ? plain('latin-square')
    : asked(
        'latin-square',
        'square-with-gaps',
        `Taken for a Latin square of order ${treatments} with ${missing} plots lost.`,
      );
}

/** Blocks that hold every treatment, give or take lost plots; else incomplete ones. */
function asBlocks(plots: readonly Placed[], treatments: number): DetectedDesign | undefined {
  const blocks = new Map<string, Set<string>>();
  for (const { block, treatment } of plots) {
    if (block === undefined) return undefined;
    blocks.set(block, (blocks.get(block) ?? new Set<string>()).add(treatment));
  }
  if (blocks.size < 2) return undefined;
  const sizes = [...blocks.values()].map((set) => set.size);
  if (treatments > 1 && sizes.every((size) => size === 1)) {
    return asked(
      'unreplicated',
      'block-is-treatment',
      "Every block holds one treatment only, so block and treatment can't be told apart.",
    );
  }
  const gaps = sizes.reduce((sum, size) => sum + treatments - size, 0);
  if (gaps === 0) return plain('randomised-blocks');
  const complete = sizes.filter((size) => size === treatments).length;
  const unequal = new Set(sizes).size > 1;
  const few = gaps <= 0.2 * treatments * sizes.length;
  if (2 * complete >= sizes.length || (few && unequal)) {
    return asked(
      'randomised-blocks',
      'blocks-with-gaps',
      `${gaps} of ${treatments * sizes.length} places in the blocks have no plot; taken for lost plots of randomised blocks.`,
    );
  }
  return complete === 0
    ? plain('incomplete-blocks')
    : asked(
        'incomplete-blocks',
        'blocks-uneven',
        `Only ${complete} of ${sizes.length} blocks hold every treatment; taken for incomplete blocks.`,
      );
}

/**
 * The design that the places of the plots speak for: unreplicated where no treatment has two
 * plots; split plot where whole plots hold several; a Latin square where rows and columns are
 * given and each treatment stands once in each; randomised blocks where blocks hold every
 * treatment (some more than once, some plots lost); incomplete blocks where they do not; else
 * completely randomised. Doubts come as questions. Whether places were drawn at all no sheet says.
 */
export function detectDesign(plots: readonly Placed[]): DetectedDesign {
  const counts = countBy(plots.map(({ treatment }) => treatment));
  if (most(counts) < 2) return plain('unreplicated');
  const wholePlots = plots.flatMap(({ block, wholePlot }) =>
    wholePlot === undefined ? [] : [JSON.stringify([block, wholePlot])],
  );
  if (wholePlots.length === plots.length && most(countBy(wholePlots)) > 1) {
    return plain('split-plot');
  }
  return (
    asLatinSquare(plots, counts.size) ??
    asBlocks(plots, counts.size) ??
    plain('completely-randomised')
  );
}
