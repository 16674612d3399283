import { type Day, dayFrom, readDay } from '@fairbed/field';
import { cellKind } from './grid';
import { isNotScored } from './numbers';
import type { Column } from './table';
import { serialDay } from './workbook';

export type DateOrder = 'dmy' | 'mdy';

/** What one date text can mean. `order` says which reading made it; both where both do. */
export type DateReading =
  | { readonly kind: 'day'; readonly day: Day }
  | { readonly kind: 'either'; readonly dmy: Day; readonly mdy: Day }
  | { readonly kind: 'ordered'; readonly order: DateOrder; readonly day: Day }
  | { readonly kind: 'no-year'; readonly month: number; readonly dayOfMonth: number }
  | { readonly kind: 'year-first-or-last' }
  | { readonly kind: 'serial'; readonly day: Day }
  | { readonly kind: 'count'; readonly days: number }
  | { readonly kind: 'blank' }
  | { readonly kind: 'text' };

/**
 * First letters that settle a month in English, German, French, Spanish, Italian, Dutch, Portuguese
 * (accents dropped). "mar" is March in most of them; "mai" May.
 */
const monthStarts: readonly (readonly string[])[] = [
  ['jan', 'ene', 'gen'],
  ['feb', 'fev'],
  ['mar', 'mrz', 'maerz', 'maart', 'mrt'],
  ['apr', 'avr', 'abr'],
  ['may', 'mai', 'mag', 'mei'],
  ['jun', 'juin', 'giu'],
  ['jul', 'juil', 'lug'],
  ['aug', 'aou', 'ago'],
  ['sep', 'set'],
  ['oct', 'okt', 'ott', 'out'],
  ['nov'],
  ['dec', 'dez', 'dic'],
];

/** Month 1..12 named by a word, or undefined. */
export function monthNamed(word: string): number | undefined {
  const bare = word
    .toLowerCase()
    .normalize('NFD')
    .replace(/[\u0300-\u036f.]/g, '');
  if (bare.length < 3 || !/^[a-z]+$/.test(bare)) return undefined;
  // "juin" and "juil" before the shorter "jun", "jul" can't clash: no start is the start of another month's.
  const found = monthStarts.findIndex((starts) => starts.some((s) => bare.startsWith(s)));
  return found < 0 || bare.length > 10 ? undefined : found + 1;
}

/** Two digits: 00 to 69 are of this century, 70 to 99 of the last (POSIX strptime draws it at 69). */
const fullYear = (digits: string): number => {
  const n = Number(digits);
  return digits.length > 2 ? n : n < 70 ? 2000 + n : 1900 + n;
};

const clock = /[T ,]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*(am|pm|z|[+-]\d{2}:?\d{2})?$/i;
const weekday = /^(mon|tue|wed|thu|fri|sat|sun|mo|di|mi|do|fr|sa|so)[a-z]{0,6}\.?,?\s+(?=\S*\d)/i;

/** Every meaning a text has as a date. */
export function readDateText(written: string): DateReading {
  if (isNotScored(written)) return { kind: 'blank' };
  if (written.length > 40) return { kind: 'text' };
  const iso = readDay(written);
  if (iso !== undefined) return { kind: 'day', day: iso };
  const text = written.replace(clock, '').trim().replace(weekday, '');
  return fromYearFirst(text) ?? fromThreeNumbers(text) ?? fromMonthName(text) ?? fromFewer(text);
}

const asDay = (day: Day | undefined): DateReading =>
  day === undefined ? { kind: 'text' } : { kind: 'day', day };

function fromYearFirst(text: string): DateReading | undefined {
  const parts = /^(\d{4})([-/. ])(\d{1,2})\2(\d{1,2})\.?$/.exec(text);
  if (parts) return asDay(dayFrom(Number(parts[1]), Number(parts[3]), Number(parts[4])));
  const packed = /^((?:19|20)\d{2})(\d{2})(\d{2})$/.exec(text);
  return packed
    ? asDay(dayFrom(Number(packed[1]), Number(packed[2]), Number(packed[3])))
    : undefined;
}

function fromThreeNumbers(text: string): DateReading | undefined {
  const parts = /^(\d{1,2})([-/. ]|\. )(\d{1,2})\2(\d{4}|\d{2})\.?$/.exec(text);
  if (!parts) return undefined;
  const [a, b, year] = [Number(parts[1]), Number(parts[3]), fullYear(parts[4] ?? '')];
  const dmy = dayFrom(year, b, a);
  // Points between the numbers are written day first wherever they are written.
  if (parts[2]?.startsWith('.')) return asDay(dmy);
  const mdy = dayFrom(year, a, b);
  if (dmy !== undefined && mdy !== undefined) {
    return dmy === mdy ? { kind: 'day', day: dmy } : { kind: 'either', dmy, mdy };
  }
  if (dmy !== undefined) return { kind: 'ordered', order: 'dmy', day: dmy };
  return mdy === undefined ? { kind: 'text' } : { kind: 'ordered', order: 'mdy', day: mdy };
}

function fromMonthName(text: string): DateReading | undefined {
  const dayFirst =
    /^(\d{1,2})(?:st|nd|rd|th|\.)?[\s\-/]*(?:de |of )?([\p{L}]{3,10})\.?(?:[\s\-/,.]*(?:de )?(\d{4}|'?\d{2}))?$/u.exec(
      text,
    );
  const monthFirst =
    /^([\p{L}]{3,10})\.?[\s\-/]*(\d{1,2})(?:st|nd|rd|th|\.)?(?:[\s\-/,]+(\d{4}|'?\d{2}))?$/u.exec(
      text,
    );
  const parts = dayFirst
    ? { day: dayFirst[1], month: dayFirst[2], year: dayFirst[3] }
    : monthFirst && { day: monthFirst[2], month: monthFirst[1], year: monthFirst[3] };
  if (!parts) return undefined;
  const month = monthNamed(parts.month ?? '');
  if (month === undefined) return undefined;
  const dayOfMonth = Number(parts.day);
  if (parts.year === undefined) {
    return dayFrom(2000, month, dayOfMonth) === undefined
      ? { kind: 'text' }
      : { kind: 'no-year', month, dayOfMonth };
  }
  return asDay(dayFrom(fullYear(parts.year.replace("'", '')), month, dayOfMonth));
}

function fromFewer(text: string): DateReading {
  const dotted = /^(\d{1,2})\.\s?(\d{1,2})\.$/.exec(text);
  if (dotted && dayFrom(2000, Number(dotted[2]), Number(dotted[1])) !== undefined) {
    return { kind: 'no-year', month: Number(dotted[2]), dayOfMonth: Number(dotted[1]) };
  }
  if (/^\d{1,5}(\.\d+)?$/.test(text)) {
    const number = Number(text);
    const day = number >= 20_000 ? serialDay(number, false) : undefined;
    if (day !== undefined) return { kind: 'serial', day: day as Day };
    if (Number.isInteger(number) && number < 2_000) return { kind: 'count', days: number };
  }
  return { kind: 'text' };
}

export type DateAnswers = { readonly order?: DateOrder; readonly year?: number };

/** A cell of a date column: which day, or why none. */
export type DateCell =
  | { readonly day: Day }
  | { readonly days: number }
  | {
      readonly why:
        | 'blank'
        | 'text'
        | 'order'
        | 'against'
        | 'year'
        | 'year-first-or-last'
        | 'unsaved';
    };

export type DateColumn = {
  /** One for each of the column's distinct texts; undefined where a text stands in no data row. */
  readonly cells: readonly (DateCell | undefined)[];
  /** The order the column is written in; `undecided` where its cells leave it open. */
  readonly order: DateOrder | 'none' | 'undecided';
  /** A text that can be read in both orders, for the question. */
  readonly example?: { readonly text: string; readonly dmy: Day; readonly mdy: Day };
  readonly serials: number;
  /** Real dates stand among texts that only make sense day-first: the spreadsheet may have swapped some. */
  readonly swapped: boolean;
};

/**
 * Reads a column of dates. One cell that can be read in only one order (a 13 or more) settles it for
 * the column, and a cell that can be read only in the other order is then against it; with both
 * sorts about, the one on more rows wins.
 */
export function readDates(column: Column, answers: DateAnswers = {}): DateColumn {
  const readings = column.values.map((text, code): DateReading | undefined => {
    if ((column.counts[code] as number) === 0) return undefined;
    const kind = column.kinds[code];
    return kind === cellKind.error && !isNotScored(text) ? { kind: 'text' } : readDateText(text);
  });
  const weight = { dmy: 0, mdy: 0, either: 0 };
  let serials = 0;
  let example: DateColumn['example'];
  readings.forEach((r, code) => {
    const rows = column.counts[code] as number;
    if (r?.kind === 'ordered') weight[r.order] += rows;
    else if (r?.kind === 'either') {
      weight.either += rows;
      example ??= { text: column.values[code] as string, dmy: r.dmy, mdy: r.mdy };
    } else if (r?.kind === 'serial') serials += rows;
  });
  const order = orderOf(weight, answers.order);
  const yearFirst = yearMayComeFirst(column);
  const dated = readings.some(
    (r) => r && r.kind !== 'count' && r.kind !== 'blank' && r.kind !== 'text',
  );
  const year = answers.year ?? onlyYear(readings);
  const cells = readings.map((r, code): DateCell | undefined => {
    if (r === undefined) return undefined;
    if (column.kinds[code] === cellKind.unsaved) return { why: 'unsaved' };
    if (yearFirst && (r.kind === 'either' || r.kind === 'ordered'))
      return { why: 'year-first-or-last' };
    // A stray small number among dates is a slip, not day 12 of the trial.
    // With the order open, one round that reads alike in both orders is not the trial: all wait.
    if (order === 'undecided' && r.kind !== 'blank' && r.kind !== 'text') return { why: 'order' };
    if (r.kind === 'count' && dated) return { why: 'text' };
    return settle(r, order, year);
  });
  const swapped = weight.dmy + weight.mdy > 0 && weight.either === 0 && realDatesAllEarly(column);
  return { cells, order, serials, swapped, ...(example ? { example } : {}) };
}

function orderOf(
  weight: { dmy: number; mdy: number; either: number },
  answer: DateOrder | undefined,
): DateColumn['order'] {
  if (answer !== undefined) return answer;
  if (weight.dmy > weight.mdy) return 'dmy';
  if (weight.mdy > 0) return 'mdy';
  return weight.either > 0 ? 'undecided' : 'none';
}

function settle(r: DateReading, order: DateColumn['order'], year: number | undefined): DateCell {
  if (r.kind === 'day' || r.kind === 'serial') return { day: r.day };
  if (r.kind === 'count') return { days: r.days };
  if (r.kind === 'ordered') return r.order === order ? { day: r.day } : { why: 'against' };
  if (r.kind === 'either') {
    return order === 'dmy' || order === 'mdy' ? { day: r[order] } : { why: 'order' };
  }
  if (r.kind === 'no-year') {
    const day = year === undefined ? undefined : dayFrom(year, r.month, r.dayOfMonth);
    return day === undefined ? { why: 'year' } : { day };
  }
  return { why: r.kind === 'year-first-or-last' ? r.kind : r.kind === 'blank' ? 'blank' : 'text' };
}

/** The one year that the dates with a year share, for those without. */
function onlyYear(readings: readonly (DateReading | undefined)[]): number | undefined {
  const years = new Set<number>();
  for (const r of readings) if (r && 'day' in r) years.add(Number(r.day.slice(0, 4)));
  return years.size === 1 ? [...years][0] : undefined;
}

/** 26-05-04, 26-05-11: two digits everywhere, the first the same and the last changing more. */
function yearMayComeFirst(column: Column): boolean {
  const firsts = new Set<string>();
  const lasts = new Set<string>();
  column.values.forEach((text, code) => {
    if ((column.counts[code] as number) === 0) return;
    const parts = /^(\d{2})[-/](\d{2})[-/](\d{2})$/.exec(text);
    if (!parts) return;
    firsts.add(parts[1] ?? '');
    lasts.add(parts[3] ?? '');
  });
  return firsts.size > 0 && lasts.size > firsts.size;
}

/** All real dates of a workbook column fall on the 12th or before: what a swap of day and month leaves. */
function realDatesAllEarly(column: Column): boolean {
  let real = 0;
  for (let code = 0; code < column.values.length; code++) {
    if ((column.counts[code] as number) === 0 || column.kinds[code] !== cellKind.date) continue;
    if (Number((column.values[code] as string).slice(8, 10)) > 12) return false;
    real++;
  }
  return real > 0;
}
