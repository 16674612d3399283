import { daysBetween, type Day } from '@fairbed/field';
import type { Trial } from '@fairbed/trial';
import { readDates } from './dates';
import type { Mapping } from './mapping';
import type { Measured } from './measured';
import { isNotScored } from './numbers';
import type { RowBook } from './rowbook';
import type { Units } from './scores';
import type { Column } from './table';
import { say } from './say';

type Time = Trial['times'][number];

const yes = new Set(['1', 'yes', 'y', 'true', 'ja', 'oui', 'si', 'sí', 'sim']);
const no = new Set(['0', 'no', 'n', 'false', 'nein', 'non', 'não', 'nee']);

/** Sets aside rows whose "happened" cell is neither yes nor no. */
export function setAsideUnclear(happened: Column, book: RowBook): void {
  const unclear = happened.values.map((v) => !yes.has(v.toLowerCase()) && !no.has(v.toLowerCase()));
  for (let row = 0; row < book.table.rows; row++) {
    const code = happened.codes[row] as number;
    if (!(unclear[code] ?? true) || book.aside[row] === 1) continue;
    const where = { file: book.table.file, row: book.shown(row), column: happened.name };
    book.setAside(row, say('happened-unclear', where, happened.values[code] ?? ''));
  }
}

/** Days to an event for each row that gives them; without a "happened" column it happened in all. */
export function timesOf(
  days: Measured,
  happened: Column | undefined,
  units: Units,
  at: { readonly book: RowBook; readonly event: Time['event'] },
): Time[] {
  const times: Time[] = [];
  for (let row = 0; row < at.book.table.rows; row++) {
    if (at.book.aside[row] === 1) continue;
    const n = days.figures[days.column.codes[row] as number] as number;
    if (Number.isNaN(n)) continue;
    const did = happened
      ? yes.has((happened.values[happened.codes[row] as number] ?? '').toLowerCase())
      : true;
    times.push({ ...unitOf(units, row), event: at.event, days: n, happened: did });
  }
  return times;
}

const unitOf = (units: Units, row: number): { plot: string; plant?: string } => {
  const plot = units.plots.list[units.plots.of[row] as number]?.id ?? '';
  const plant = units.plantOf ? units.plantIds[units.plantOf[row] as number] : undefined;
  return plant === undefined ? { plot } : { plot, plant };
};

/**
 * Days to the date in a heading-date column, counted from the mapping's first day or else from the
 * earliest date of the column; a blank cell had not happened by the latest date. Rows whose date
 * can't be read are set aside.
 */
export function headingTimes(
  column: Column,
  mapping: Mapping,
  units: Units,
  book: RowBook,
): Time[] {
  const read = readDates(column, {
    ...(mapping.dateOrder === undefined ? {} : { order: mapping.dateOrder }),
    ...(mapping.year === undefined ? {} : { year: mapping.year }),
  });
  const dayOf = (row: number): Day | undefined => {
    const cell = read.cells[column.codes[row] as number];
    return cell && 'day' in cell ? cell.day : undefined;
  };
  const days: Day[] = [];
  for (let row = 0; row < book.table.rows; row++) {
    if (book.aside[row] === 1) continue;
    const day = dayOf(row);
    if (day !== undefined) days.push(day);
    else if (!isNotScored(column.values[column.codes[row] as number] ?? '')) {
      const where = { file: book.table.file, row: book.shown(row), column: column.name };
      book.setAside(row, say('date-text', where, column.values[column.codes[row] as number] ?? ''));
    }
  }
  days.sort();
  const start = (mapping.firstDay as Day | undefined) ?? days[0];
  const end = days[days.length - 1];
  if (start === undefined || end === undefined) return [];
  book.add(say('heading-from', { file: book.table.file, column: column.name }, start, end));
  const times: Time[] = [];
  for (let row = 0; row < book.table.rows; row++) {
    if (book.aside[row] === 1) continue;
    const day = dayOf(row);
    const n = daysBetween(start, day ?? end);
    if (n < 0) {
      const where = { file: book.table.file, row: book.shown(row), column: column.name };
      book.setAside(row, say('heading-early', where, day ?? '', start));
    } else
      times.push({ ...unitOf(units, row), event: 'heading', days: n, happened: day !== undefined });
  }
  return times;
}
