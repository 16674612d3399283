import type { Problem } from '@fairbed/field';
import type { Score, Trial } from '@fairbed/trial';
import { assemble } from './assemble';
import { limits } from './limits';
import { findColumns, type Found, type TrialOptions } from './found';
import { setAsideNoData } from './lookthrough';
import { type Mapping, measures, type Role } from './mapping';
import { readMeasured } from './measured';
import { noteMissing } from './missing';
import { indexBook } from './indexbook';
import { joinNames, type Names, readNames } from './names';
import { namePlots, type Places, type Plots } from './plots';
import { type Rounds, readRounds } from './rounds';
import { type RowBook, rowBook } from './rowbook';
import { settleDuplicates } from './duplicates';
import { addScores, setAsideBadCells, type Slot, type Units } from './scores';
import { hasWidePlants, makeSlots, wideRounds } from './slots';
import { settleTreatments } from './spelling';
import type { Column, Table } from './table';
import { headingTimes, setAsideUnclear, timesOf } from './times';
import { say } from './say';

export type RowCount = {
  readonly read: number;
  readonly used: number;
  readonly set_aside: number;
  /** Single cells of a wide sheet set aside, their rows being used. */
  readonly cells_set_aside?: number;
};

export type TrialResult = {
  readonly trial: Trial;
  /** Faults, questions and notes, in that order, and by row within each. */
  readonly faults: readonly Problem[];
  readonly rows: RowCount;
};

const namingRoles: readonly Role[] = [
  'treatment',
  'block',
  'plot',
  'plant',
  'part',
  'wholePlot',
  'date',
  'round',
];

/**
 * Builds the trial document from a table and its mapping. Every data row is used or set aside with
 * a reason (`rows.read` = `used` + `set_aside`); nothing is repaired unsaid, and where the grower
 * must decide there is a question, the rows it touches being set aside until it is answered. The
 * document is well-formed by construction and is not validated again.
 */
export function tableToTrial(
  table: Table,
  mapping: Mapping,
  options: TrialOptions = {},
): TrialResult {
  const book = rowBook(table);
  const found = findColumns(table, mapping, book);
  const naming = namingRoles.flatMap((role) => found.all(role));
  const mapped = mapping.columns.flatMap(({ role }) => (role === 'ignore' ? [] : found.all(role)));
  setAsideNoData([...new Set(mapped)], naming, book);
  const refused = (): TrialResult => {
    for (let row = 0; row < table.rows; row++) book.setAsideAlso(row);
    return finish(assemble({ book, options, mapping, found }), book, 0);
  };
  const places = readPlaces(found, mapping, options, book);
  if (places === undefined) return refused();
  const wide = wideRounds(mapping);
  const dated = { date: found.one('date'), round: found.one('round') };
  const rounds: Rounds = wide
    ? { list: wide.list, of: new Int32Array(table.rows) }
    : readRounds(dated, mapping, book);
  const several = !wide && rounds.list.length > 1;
  const plots = namePlots(places, { of: rounds.of, several }, book);
  if (plots.list.length > limits.plots) {
    book.add(say('too-many-plots', { file: table.file }, plots.list.length, limits.plots));
    return refused();
  }
  const plant = places.plant ?? plantsByRow(found, mapping, plots, book);
  const units = { ...unitsOf(plots, plant, rounds), parts: places.part };
  const { slots, gradeScale } = makeSlots({ mapping, found, units, options, book });
  const scored = scoreSlots(slots, units, { found, book, mapped });
  const times = eventTimes(found, mapping, units, { book, options });
  const scores = scored.scores();
  if (scores.length > 0) noteMissing({ book, places, plots, units, seen: scored.seen });
  const read = { places, units, scores, times, slots, gradeScale };
  return finish(assemble({ book, options, mapping, found, ...read }), book, scored.cells);
}

function readPlaces(
  found: Found,
  mapping: Mapping,
  options: TrialOptions,
  book: RowBook,
): Places | undefined {
  const treatments = found.all('treatment');
  const column = treatments[0];
  if (column === undefined) {
    book.add(say('which-treatment', { file: book.table.file }));
    return undefined;
  }
  const names = (role: Role): Names | undefined => {
    const [first, ...more] = found.all(role).map((c) => readNames(c, book));
    return first && more.reduce(joinNames, first);
  };
  const written = names('treatment');
  if (written === undefined || written.labels.length > limits.treatments) {
    const where = { file: book.table.file, column: column.name };
    book.add(say('too-many-treatments', where, written?.labels.length ?? 0));
    return undefined;
  }
  const block = names('block');
  const treatment = settleTreatments(written, block, options.treatmentNames ?? [], {
    book,
    column: column.name,
  });
  const plant = found.one('plant');
  const twice = plant !== undefined && hasWidePlants(mapping);
  if (twice) {
    book.add(say('plants-twice', { file: book.table.file, column: plant.name }, plant.name));
  }
  return {
    treatment,
    block,
    row: names('row'),
    column: names('column'),
    wholePlot: names('wholePlot'),
    plot: names('plot'),
    plant: twice ? undefined : names('plant'),
    part: names('part'),
  };
}

/**
 * Times to an event come one row a plant. Where nothing but times is in the sheet and no column names
 * the plants, the rows of a plot are its plants, numbered in the order of the sheet.
 */
function plantsByRow(
  found: Found,
  mapping: Mapping,
  plots: Plots,
  book: RowBook,
): Names | undefined {
  const timed = found.one('days') ?? found.one('headingDate');
  const scored = measures.some((m) => found.one(m)) || (mapping.wide ?? []).length > 0;
  if (!timed || scored || plots.list.length === plots.of.filter((p) => p >= 0).length)
    return undefined;
  const next = plots.list.map(() => 0);
  const of = plots.of.map((plot) => {
    if (plot < 0) return -1;
    const n = next[plot] ?? 0;
    next[plot] = n + 1;
    return n;
  });
  const most = next.reduce((a, b) => Math.max(a, b), 0);
  book.add(say('rows-are-plants', { file: book.table.file }));
  const labels = Array.from({ length: most }, (_, i) => String(i + 1));
  return { labels, of, counts: labels.map((_, i) => next.filter((n) => n > i).length) };
}

/** Plants get ids of their own over the whole trial: with the plot's in front unless already so. */
function unitsOf(plots: Plots, plant: Names | undefined, rounds: Rounds): Omit<Units, 'parts'> {
  const base = { plots, rounds: rounds.list, roundOf: rounds.of };
  if (plant === undefined) return { ...base, plantOf: undefined, plantIds: [], plotOfPlant: [] };
  const plantOf = new Int32Array(plant.of.length).fill(-1);
  const known = indexBook(plots.list.length * plant.labels.length);
  const pairs: { plot: number; label: number }[] = [];
  const homes = plant.labels.map(() => -1);
  let shared = false;
  for (let row = 0; row < plantOf.length; row++) {
    const plot = plots.of[row] as number;
    const label = plant.of[row] as number;
    if (plot < 0 || label < 0) continue;
    if (homes[label] === -1) homes[label] = plot;
    else if (homes[label] !== plot) shared = true;
    const key = plot * plant.labels.length + label;
    let index = known.get(key);
    if (index < 0) {
      index = pairs.push({ plot, label }) - 1;
      known.set(key, index);
    }
    plantOf[row] = index;
  }
  const plantIds = pairs.map(({ plot, label }, i) => {
    const name = plant.labels[label] ?? '';
    const id = shared ? `${plots.list[plot]?.id ?? ''}/${name}` : name;
    return id.length <= 200 ? id : `plant ${i + 1}`;
  });
  return { ...base, plantOf, plantIds, plotOfPlant: pairs.map((p) => p.plot) };
}

function scoreSlots(
  slots: readonly Slot[],
  units: Units,
  at: { found: Found; book: RowBook; mapped: readonly Column[] },
): { cells: number; seen: Uint8Array; scores: () => Score[] } {
  const { found, book, mapped } = at;
  let cells = 0;
  const checked = slots.map((slot) => {
    const result = setAsideBadCells(slot, book);
    cells += result.cells;
    return { slot, aside: result.aside };
  });
  const columns = [
    ...new Set([...mapped, ...slots.flatMap((s) => s.measured.map((m) => m.column))]),
  ];
  const told = settleDuplicates(units, columns, book);
  const last = slots[slots.length - 1];
  const seen = new Uint8Array(units.plots.list.length * units.rounds.length);
  return {
    cells,
    seen,
    // Called once all rows that must be set aside are.
    scores() {
      const scores: Score[] = [];
      for (const { slot, aside } of checked) {
        const note = slot === last ? found.one('note') : undefined;
        addScores(scores, slot, told, { book, aside, note, seen });
      }
      return scores;
    },
  };
}

function eventTimes(
  found: Found,
  mapping: Mapping,
  units: Units,
  at: { book: RowBook; options: TrialOptions },
): Trial['times'] {
  const { book, options } = at;
  const column = found.one('days');
  const happened = found.one('happened');
  const heading = found.one('headingDate');
  if (heading) return headingTimes(heading, mapping, units, book);
  if (column === undefined) return [];
  const days = readMeasured('days', column, mapping, { book });
  setAsideBadCells({ measured: [days], wide: false }, book);
  if (happened) setAsideUnclear(happened, book);
  return timesOf(days, happened, units, { book, event: options.event ?? 'other' });
}

const rank = { fault: 0, question: 1, note: 2 } as const;

function finish(trial: Trial, book: RowBook, cells: number): TrialResult {
  let aside = 0;
  for (const a of book.aside) aside += a;
  const read = book.table.rows;
  const faults = book
    .problems()
    .sort((a, b) => rank[a.kind] - rank[b.kind] || (a.row ?? 0) - (b.row ?? 0));
  const rows = { read, used: read - aside, set_aside: aside };
  return { trial, faults, rows: cells > 0 ? { ...rows, cells_set_aside: cells } : rows };
}
