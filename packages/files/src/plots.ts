import { indexBook } from './indexbook';
import type { Names } from './names';
import type { RowBook } from './rowbook';
import { say } from './say';

/** The places a sheet names, each one a data row's index; absent columns are undefined. */
export type Places = {
  readonly treatment: Names;
  readonly block?: Names | undefined;
  readonly row?: Names | undefined;
  readonly column?: Names | undefined;
  readonly wholePlot?: Names | undefined;
  readonly plot?: Names | undefined;
  readonly plant?: Names | undefined;
  /** Parts of a plot or plant that have rows of their own. */
  readonly part?: Names | undefined;
};

/** Columns of one plot as indexes into the places' labels; -1 where the sheet has none. */
export type PlotPlace = {
  readonly id: string;
  readonly treatment: number;
  readonly block: number;
  readonly row: number;
  readonly column: number;
  readonly wholePlot: number;
};

export type Plots = {
  readonly list: readonly PlotPlace[];
  /** The plot of each data row; -1 where it is set aside for its place. */
  readonly of: Int32Array;
};

type Keyed = { readonly of: Int32Array; readonly ids: string[] };

/** Gives rows with the same numbers in every list the same index, in order of appearance. */
function keyed(
  book: RowBook,
  parts: readonly Names[],
  idOf: (labels: readonly string[]) => string,
): Keyed {
  const of = new Int32Array(book.table.rows).fill(-1);
  const ids: string[] = [];
  const known = indexBook(parts.reduce((size, p) => size * (p.labels.length + 1), 1));
  for (let row = 0; row < of.length; row++) {
    if (book.aside[row] === 1) continue;
    let key = 0;
    for (const part of parts) key = key * (part.labels.length + 1) + (part.of[row] as number) + 1;
    let index = known.get(key);
    if (index < 0) {
      index = ids.push(idOf(parts.map((p) => p.labels[p.of[row] as number] ?? ''))) - 1;
      known.set(key, index);
    }
    of[row] = index;
  }
  return { of, ids };
}

/** True where most labels stand in more than one block: plots numbered afresh in every block. */
function repeatsInBlocks(
  book: RowBook,
  of: Int32Array,
  size: number,
  block: Names | undefined,
): boolean {
  if (block === undefined || size === 0) return false;
  const first = new Int32Array(size).fill(-1);
  const several = new Uint8Array(size);
  for (let row = 0; row < of.length; row++) {
    const index = of[row] as number;
    const b = block.of[row] as number;
    if (index < 0 || b < 0 || book.aside[row] === 1) continue;
    if (first[index] === -1) first[index] = b;
    else if (first[index] !== b) several[index] = 1;
  }
  let count = 0;
  for (const s of several) count += s;
  return count * 2 > size;
}

const fit = (id: string, n: number): string =>
  id.length > 0 && id.length <= 180 ? id : `plot ${n}`;

/**
 * Names the plot of every row. With a plot column, that (with its block, where plots are numbered
 * afresh in each block); else row and column; else treatment, block and whole plot. With none of
 * these every row is a plot of its own, unless rounds or plants say that rows belong together:
 * then a treatment is one plot, if its rows allow it, and a question if not.
 */
export function namePlots(
  places: Places,
  rounds: { readonly of: Int32Array; readonly several: boolean },
  book: RowBook,
): Plots {
  const { treatment, block, row, column, wholePlot, plot, plant } = places;
  let names: Keyed;
  if (plot) {
    names = keyed(book, [plot], ([p = '']) => p);
    if (block && repeatsInBlocks(book, names.of, names.ids.length, block)) {
      names = keyed(book, [block, plot], (labels) => labels.join('/'));
    }
  } else if (row && column) {
    const id = ([r = '', c = '']: readonly string[]): string => `row ${r}, column ${c}`;
    names = keyed(book, [row, column], id);
    if (block && repeatsInBlocks(book, names.of, names.ids.length, block)) {
      names = keyed(book, [block, row, column], ([b = '', ...rest]) => `${b}, ${id(rest)}`);
    }
  } else if (block) {
    const parts = [block, ...(wholePlot ? [wholePlot] : []), treatment];
    names = keyed(book, parts, (labels) => labels.join('/'));
  } else names = withoutPlaces(treatment, plant, rounds, book);
  return settle(places, names, book);
}

function withoutPlaces(
  treatment: Names,
  plant: Names | undefined,
  rounds: { readonly of: Int32Array; readonly several: boolean },
  book: RowBook,
): Keyed {
  const file = book.table.file;
  if (plant) {
    book.add(say('treatment-is-plot', { file }));
    return keyed(book, [treatment], ([t = '']) => t);
  }
  if (!rounds.several) {
    const of = new Int32Array(book.table.rows).fill(-1);
    const ids: string[] = [];
    const seen = treatment.labels.map(() => 0);
    for (let row = 0; row < of.length; row++) {
      if (book.aside[row] === 1) continue;
      const t = treatment.of[row] as number;
      seen[t] = (seen[t] ?? 0) + 1;
      of[row] = ids.push(`${treatment.labels[t] ?? ''} ${seen[t] ?? 0}`) - 1;
    }
    return { of, ids };
  }
  const once = new Set<number>();
  let repeated = false;
  for (let row = 0; row < rounds.of.length; row++) {
    if (book.aside[row] === 1 || (rounds.of[row] as number) < 0) continue;
    const key =
      (rounds.of[row] as number) * treatment.labels.length + (treatment.of[row] as number);
    if (once.has(key)) repeated = true;
    once.add(key);
  }
  if (repeated) {
    book.add(say('which-plot', { file }));
    for (let row = 0; row < book.table.rows; row++) book.setAsideAlso(row);
  } else book.add(say('treatment-is-plot', { file }));
  return keyed(book, [treatment], ([t = '']) => t);
}

/** Each plot's treatment, block and place, with rows that contradict their plot set aside. */
function settle(places: Places, names: Keyed, book: RowBook): Plots {
  const of = names.of;
  holdTogether('treatment', places.treatment, names, book);
  if (places.block) holdTogether('block', places.block, names, book);
  if (places.wholePlot) holdTogether('whole plot', places.wholePlot, names, book);
  const firstRow = new Int32Array(names.ids.length).fill(-1);
  for (let row = 0; row < of.length; row++) {
    const index = of[row] as number;
    if (index < 0 || book.aside[row] === 1) {
      of[row] = -1;
      continue;
    }
    if (firstRow[index] === -1) firstRow[index] = row;
  }
  const place = new Int32Array(names.ids.length).fill(-1);
  const list: PlotPlace[] = [];
  const taken = new Set<string>();
  names.ids.forEach((written, index) => {
    const row = firstRow[index] as number;
    if (row < 0) return;
    let id = fit(written, index + 1);
    while (taken.has(id))
      id = `plot ${index + 1}${taken.has(`plot ${index + 1}`) ? `.${taken.size}` : ''}`;
    taken.add(id);
    const at = (part: Names | undefined): number => (part ? (part.of[row] as number) : -1);
    const { treatment, block, wholePlot } = places;
    place[index] =
      list.push({
        id,
        treatment: at(treatment),
        block: at(block),
        row: at(places.row),
        column: at(places.column),
        wholePlot: at(wholePlot),
      }) - 1;
  });
  for (let row = 0; row < of.length; row++) {
    if ((of[row] as number) >= 0) of[row] = place[of[row] as number] as number;
  }
  return { list, of };
}

/**
 * One plot has one treatment and one block. Where its rows disagree, those of the clear majority
 * stand; where there is none, all of the plot's rows are set aside.
 */
function holdTogether(
  what: 'treatment' | 'block' | 'whole plot',
  part: Names,
  names: Keyed,
  book: RowBook,
): void {
  const { of, ids } = names;
  const first = new Int32Array(ids.length).fill(-1);
  const split = new Set<number>();
  for (let row = 0; row < of.length; row++) {
    const index = of[row] as number;
    if (index < 0 || book.aside[row] === 1) continue;
    if (first[index] === -1) first[index] = part.of[row] as number;
    else if (first[index] !== part.of[row]) split.add(index);
  }
  if (split.size === 0) return;
  const tallies = new Map<number, Map<number, number>>();
  for (let row = 0; row < of.length; row++) {
    const index = of[row] as number;
    if (!split.has(index) || book.aside[row] === 1) continue;
    const tally = tallies.get(index) ?? new Map<number, number>();
    tally.set(part.of[row] as number, (tally.get(part.of[row] as number) ?? 0) + 1);
    tallies.set(index, tally);
  }
  const stands = new Map<number, number>();
  for (const [index, tally] of tallies) {
    const [best, next] = [...tally].sort((a, b) => b[1] - a[1]);
    stands.set(index, best && best[1] > (next?.[1] ?? 0) ? best[0] : -1);
  }
  for (let row = 0; row < of.length; row++) {
    const index = of[row] as number;
    const stand = split.has(index) ? stands.get(index) : undefined;
    if (stand === undefined || book.aside[row] === 1 || part.of[row] === stand) continue;
    const has = part.labels[part.of[row] as number] ?? '';
    const others = [...(tallies.get(index) ?? [])].filter(([k]) => k !== part.of[row]);
    const rest = part.labels[stand] ?? others.map(([k]) => part.labels[k] ?? '').join(', ');
    book.setAside(
      row,
      say(
        'plot-two-ways',
        { file: book.table.file, row: book.shown(row) },
        ids[index] ?? '',
        what,
        has,
        rest,
      ),
    );
  }
}
