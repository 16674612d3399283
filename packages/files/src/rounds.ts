import { type Day, dayFromNumber, dayNumber, readDay } from '@fairbed/field';
import type { Round } from '@fairbed/trial';
import { type DateColumn, readDates } from './dates';
import type { Mapping } from './mapping';
import { type Names, readNames } from './names';
import type { RowBook } from './rowbook';
import type { Column } from './table';
import { say } from './say';

/** The rounds of a sheet, in order, and which of them each data row belongs to (-1: none). */
export type Rounds = { readonly list: readonly Round[]; readonly of: Int32Array };

type Draft = { day?: Day; count?: number; name?: string };

/** The first whole number in a label, to put "week 10" after "week 9". */
const numberIn = (label: string | undefined): number | undefined => {
  const found = /\d+/.exec(label ?? '');
  return found ? Number(found[0]) : undefined;
};

/** Order of rounds: by day where all have one, else by count or number in the name, else as met. */
export function roundOrder(drafts: readonly Draft[]): number[] {
  const keys = [
    drafts.map((d) => (d.day === undefined ? undefined : dayNumber(d.day))),
    drafts.map((d) => d.count),
    drafts.map((d) => numberIn(d.name)),
  ].find((k) => k.every((x) => x !== undefined));
  const order = drafts.map((_, i) => i);
  return keys ? order.sort((a, b) => (keys[a] ?? 0) - (keys[b] ?? 0) || a - b) : order;
}

/** The document's rounds from drafts, with ids of their own. */
export function roundsFrom(drafts: readonly Draft[]): Round[] {
  const taken = new Set<string>();
  return drafts.map((draft, i) => {
    const name = draft.name ?? (draft.count === undefined ? undefined : `day ${draft.count}`);
    let id = draft.name ?? draft.day ?? name ?? String(i + 1);
    while (taken.has(id)) id = `${id}'`;
    taken.add(id);
    return {
      id,
      ...(draft.day === undefined ? {} : { day: draft.day }),
      ...(draft.count === undefined ? {} : { at: draft.count }),
      ...(name === undefined || name === draft.day ? {} : { name }),
    };
  });
}

/** Rounds from a date column, a round column, both or neither (then one round holds all rows). */
export function readRounds(
  columns: { readonly date?: Column | undefined; readonly round?: Column | undefined },
  mapping: Mapping,
  book: RowBook,
): Rounds {
  const dates = columns.date && datesOf(columns.date, mapping, book);
  const labels = columns.round && readNames(columns.round, book);
  if (dates === undefined && labels === undefined) {
    return { list: [{ id: '1' }], of: new Int32Array(book.table.rows) };
  }
  if (labels === undefined) return dates ?? { list: [], of: new Int32Array(book.table.rows) };
  return labelled(labels, dates, { book, column: columns.round?.name ?? '' });
}

function sorted(drafts: readonly Draft[], of: Int32Array): Rounds {
  const order = roundOrder(drafts);
  const place = new Int32Array(order.length);
  order.forEach((old, now) => (place[old] = now));
  for (let row = 0; row < of.length; row++) {
    const old = of[row] as number;
    if (old >= 0) of[row] = place[old] as number;
  }
  return { list: roundsFrom(order.map((i) => drafts[i] ?? {})), of };
}

function datesOf(column: Column, mapping: Mapping, book: RowBook): Rounds {
  const read = readDates(column, {
    ...(mapping.dateOrder === undefined ? {} : { order: mapping.dateOrder }),
    ...(mapping.year === undefined ? {} : { year: mapping.year }),
  });
  const start = mapping.firstDay === undefined ? undefined : readDay(mapping.firstDay);
  const drafts: Draft[] = [];
  const known = new Map<string, number>();
  const indexOf = (draft: Draft): number => {
    const key = draft.day ?? `day ${draft.count ?? 0}`;
    let index = known.get(key);
    if (index === undefined) {
      index = drafts.push(draft) - 1;
      known.set(key, index);
    }
    return index;
  };
  const roundOfCode = read.cells.map((cell) => {
    if (cell === undefined || 'why' in cell) return -1;
    if ('day' in cell) return indexOf({ day: cell.day });
    const day = start && dayFromNumber(dayNumber(start) + cell.days);
    return indexOf(day === undefined ? { count: cell.days } : { day });
  });
  const of = new Int32Array(column.codes.length);
  for (let row = 0; row < of.length; row++)
    of[row] = roundOfCode[column.codes[row] as number] ?? -1;
  dateProblems(column, read, of, book);
  if (drafts.some((d) => d.count !== undefined))
    book.add(say('first-day', { file: book.table.file, column: column.name }));
  return sorted(drafts, of);
}

function dateProblems(column: Column, read: DateColumn, of: Int32Array, book: RowBook): void {
  const file = book.table.file;
  const asked = new Set<string>();
  for (let row = 0; row < of.length; row++) {
    if ((of[row] as number) >= 0 || book.noData[row] === 1) continue;
    const code = column.codes[row] as number;
    const cell = read.cells[code];
    const why = cell && 'why' in cell ? cell.why : 'blank';
    const where = { file, row: book.shown(row), column: column.name };
    const text = column.values[code] as string;
    if (why === 'order' || why === 'year' || why === 'year-first-or-last') {
      book.setAsideAlso(row);
      if (asked.has(why)) continue;
      asked.add(why);
      if (why === 'year') book.add(say('date-year', where, text));
      else if (why === 'year-first-or-last') book.add(say('date-year-place', where, text));
      else if (read.example) {
        book.add(say('date-order', where, read.example.text, read.example.dmy, read.example.mdy));
      }
    } else if (why === 'blank') book.setAside(row, say('date-blank', where));
    else if (why === 'unsaved') book.setAside(row, say('formula-unsaved', where));
    else if (why === 'against')
      book.setAside(row, say('date-against', where, text, read.order === 'dmy'));
    else book.setAside(row, say('date-text', where, text));
  }
  if (read.serials > 0) book.add(say('date-serials', { file, column: column.name }, read.serials));
  if (read.swapped) book.add(say('date-swapped', { file, column: column.name }));
}

/** Named rounds; where dates stand beside the names, a round has the first day it was scored on. */
function labelled(
  labels: Names,
  dates: Rounds | undefined,
  at: { readonly book: RowBook; readonly column: string },
): Rounds {
  const { book, column } = at;
  const drafts: Draft[] = labels.labels.map((name) => ({ name }));
  if (dates) {
    const days = labels.labels.map(() => new Set<Day>());
    for (let row = 0; row < labels.of.length; row++) {
      const day = dates.list[dates.of[row] as number]?.day;
      if (day !== undefined && book.aside[row] === 0) days[labels.of[row] as number]?.add(day);
    }
    days.forEach((set, i) => {
      const [first, ...more] = [...set].sort();
      const draft = drafts[i];
      if (first === undefined || draft === undefined) return;
      draft.day = first;
      if (more.length > 0) {
        book.add(
          say('round-spans', { file: book.table.file, column }, draft.name ?? '', set.size, first),
        );
      }
    });
  }
  const of = labels.of.map((label, row) => (dates && (dates.of[row] as number) < 0 ? -1 : label));
  const clashing = sameDay(drafts, at);
  if (clashing.size === 0) return sorted(drafts, of);
  for (let row = 0; row < of.length; row++) {
    if (!clashing.has(of[row] as number)) continue;
    book.setAsideAlso(row);
    of[row] = -1;
  }
  const kept = drafts.map((_, i) => i).filter((i) => !clashing.has(i));
  const place = new Int32Array(drafts.length).fill(-1);
  kept.forEach((old, now) => (place[old] = now));
  return sorted(
    kept.map((i) => drafts[i] ?? {}),
    of.map((old) => (old < 0 ? -1 : (place[old] as number))),
  );
}

/** Two named rounds on one day may be two scorers, or a wrong date: their rows wait for an answer. */
function sameDay(
  drafts: readonly Draft[],
  at: { readonly book: RowBook; readonly column: string },
): ReadonlySet<number> {
  const first = new Map<Day, number>();
  const clashing = new Set<number>();
  drafts.forEach(({ day, name = '' }, i) => {
    const other = day === undefined ? undefined : first.get(day);
    if (day === undefined) return;
    if (other === undefined) {
      first.set(day, i);
      return;
    }
    clashing.add(other).add(i);
    const where = { file: at.book.table.file, column: at.column };
    at.book.add(say('rounds-same-day', where, drafts[other]?.name ?? '', name, day));
  });
  return clashing;
}
