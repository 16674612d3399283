import { indexBook } from './indexbook';
import type { RowBook } from './rowbook';
import { say } from './say';
import type { Units } from './scores';
import { roleOfHeading } from './synonyms';
import type { Column } from './table';

/** Rows of one plot (plant, part) at one round: more than one, in the order of the sheet. */
type Group = readonly number[];

function groupsOf(units: Units, book: RowBook): { groups: Group[]; scored: number } {
  const { plots, plantOf, plantIds, rounds, roundOf, parts } = units;
  const wide = (parts?.labels.length ?? 0) + 1;
  const known = indexBook((plots.list.length + plantIds.length) * rounds.length * wide);
  const groups = new Map<number, number[]>();
  let scored = 0;
  for (let row = 0; row < book.table.rows; row++) {
    if (book.aside[row] === 1) continue;
    scored++;
    const plant = plantOf ? (plantOf[row] as number) : -1;
    const unit = plant >= 0 ? plots.list.length + plant : (plots.of[row] as number);
    const part = parts ? (parts.of[row] as number) + 1 : 0;
    const key = (unit * rounds.length + (roundOf[row] as number)) * wide + part;
    const first = known.get(key);
    if (first < 0) known.set(key, row);
    else {
      const group = groups.get(key);
      if (group) group.push(row);
      else groups.set(key, [first, row]);
    }
  }
  return { groups: [...groups.values()], scored };
}

/** One column, or two joined: what may name the parts of a plot or plant. */
type Telling = {
  readonly names: readonly string[];
  readonly labels: string[];
  readonly of: Int32Array;
};

const told = ({ name, values, codes }: Column): Telling => ({
  names: [name],
  // The empty cell names nothing.
  labels: values.map((text, code) => (text.length <= 90 ? text : `part ${code + 1}`)),
  of: codes,
});

function joined(a: Column, b: Column): Telling {
  const pairs = new Map<number, number>();
  const labels: string[] = [];
  const of = a.codes.map((first, row) => {
    const second = b.codes[row] as number;
    const key = first * b.values.length + second;
    const known = pairs.get(key);
    if (known !== undefined) return known;
    const blank = first === 0 || second === 0;
    labels.push(blank ? '' : `${a.values[first] ?? ''}/${b.values[second] ?? ''}`.slice(0, 190));
    pairs.set(key, labels.length - 1);
    return labels.length - 1;
  });
  return { names: [a.name, b.name], labels, of };
}

/** Does it say something else in every row of a group, and something in each? */
const tellsApart = ({ labels, of }: Telling, groups: readonly Group[]): boolean =>
  groups.every((rows) => {
    const said = new Set(rows.map((row) => labels[of[row] as number]));
    return said.size === rows.length && !said.has('');
  });

/** Columns looked at in pairs: a sheet with hundreds of spare columns is not worth the walk. */
const mostPaired = 8;

/** Whatever among the unmapped columns tells the rows of every group apart: one column, else two. */
function tellingColumns(unmapped: readonly Column[], groups: readonly Group[]): Telling[] {
  const single = unmapped.map(told).filter((one) => tellsApart(one, groups));
  if (single.length > 0) return single;
  const few = unmapped.slice(0, mostPaired);
  return few.flatMap((a, i) =>
    few
      .slice(i + 1)
      .map((b) => joined(a, b))
      .filter((one) => tellsApart(one, groups)),
  );
}

/** A heading of time: rows it tells apart are rounds, not parts. */
const isTime = (name: string): boolean =>
  ['date', 'round'].includes(roleOfHeading(name)?.role ?? '');

/**
 * Two rows for the same plot (plant, part) and round. Where both say the same, the first stands and
 * the copy is set aside; where they differ nobody can know which is right, and both are.
 *
 * Where most plots have several rows, they are no slips. A column (or two) that nobody mapped and
 * that tells them apart (shoot, sample) names parts of the plot or plant, to be added up, which is noted; where
 * that column speaks of time, or there is none, it is a question and the rows wait for its answer.
 * Returns the units with the parts that were found.
 */
export function settleDuplicates(units: Units, columns: readonly Column[], book: RowBook): Units {
  const { groups, scored } = groupsOf(units, book);
  const involved = groups.reduce((sum, rows) => sum + rows.length, 0);
  if (involved <= scored * 0.5 || involved <= 4) {
    for (const rows of groups) setAsideGroup(rows, units, columns, book);
    return units;
  }
  const [rows = []] = groups;
  const where = { file: book.table.file, row: book.shown(rows[0] ?? 0) };
  const plot = units.plots.list[units.plots.of[rows[0] ?? 0] as number]?.id ?? '';
  const unmapped = book.table.columns.filter((column) => !columns.includes(column));
  const apart = units.parts === undefined ? tellingColumns(unmapped, groups) : [];
  const time = apart.flatMap(({ names }) => names).find(isTime);
  const parts = apart[0];
  if (parts !== undefined && time === undefined) {
    book.add(say('rows-are-parts', { ...where, column: parts.names.join(', ') }, parts.names));
    return { ...units, parts };
  }
  book.add(say('several-rows-a-plot', where, plot, rows.length, time));
  for (const group of groups) for (const row of group) book.setAsideAlso(row);
  return units;
}

function setAsideGroup(rows: Group, units: Units, columns: readonly Column[], book: RowBook): void {
  const [first = 0, ...later] = rows;
  const alike = later.every((row) => columns.every((c) => c.codes[row] === c.codes[first]));
  const plot = units.plots.list[units.plots.of[first] as number]?.id ?? '';
  const plant = units.plantOf ? units.plantIds[units.plantOf[first] as number] : undefined;
  const round = units.rounds[units.roundOf[first] as number];
  const when = units.rounds.length > 1 ? (round?.day ?? round?.name) : undefined;
  for (const row of alike ? later : rows) {
    const other = book.shown(row === first ? (later[0] ?? first) : first);
    const where = { file: book.table.file, row: book.shown(row) };
    book.setAside(row, say('duplicate', where, { plot: plant ?? plot, when, other, alike }));
  }
}
