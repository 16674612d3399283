import type { Problem } from '@fairbed/field';
import type { Mapping, Measure } from './mapping';
import { type NumberColumn, reading, readNumbers } from './numbers';
import type { RowBook } from './rowbook';
import type { Column } from './table';
import { say } from './say';

/** A measure's column, read and held against what the measure can be. */
export type Measured = {
  readonly measure: Measure | 'baseline' | 'days';
  readonly column: Column;
  /** By code: the figure; NaN where there is none (not scored, or a bad cell). */
  readonly figures: Float64Array;
  /** By code: 1 for a cell that is at fault. */
  readonly bad: Uint8Array;
  readonly anyBad: boolean;
  readonly read: NumberColumn;
};

type Check = 'negative' | 'not-whole' | 'over' | 'not-a-class' | 'not-a-stage';

const counts: readonly string[] = ['diseased', 'leaves', 'stripped', 'lost'];
const percents: readonly string[] = ['severity', 'injury', 'vigour'];

function checkOf(
  measure: Measured['measure'],
  n: number,
  classes: readonly number[] | undefined,
): Check | undefined {
  if (counts.includes(measure)) {
    if (n < 0) return 'negative';
    if (!Number.isInteger(n)) return 'not-whole';
    return n > 1_000_000 ? 'over' : undefined;
  }
  if (percents.includes(measure)) return n < 0 ? 'negative' : n > 100 ? 'over' : undefined;
  if (measure === 'grade') return classes && !classes.includes(n) ? 'not-a-class' : undefined;
  if (measure === 'stage')
    return Number.isInteger(n) && n >= 0 && n <= 99 ? undefined : 'not-a-stage';
  return measure === 'days' && n < 0 ? 'negative' : undefined;
}

/**
 * Reads a measure's column, once for each distinct text. `scale` 100 turns a fraction to percent.
 * Notes once for the column how many cells were not scored.
 */
export function readMeasured(
  measure: Measured['measure'],
  column: Column,
  mapping: Mapping,
  options: { readonly book: RowBook; readonly classes?: readonly number[] | undefined },
): Measured {
  const read = readNumbers(column, mapping.decimal);
  const size = column.values.length;
  const figures = new Float64Array(size).fill(NaN);
  const bad = new Uint8Array(size);
  let anyBad = false;
  const fraction = measure === 'severity' && mapping.severityScale === 'fraction';
  for (let code = 0; code < size; code++) {
    if ((column.counts[code] as number) === 0 || read.readings[code] === reading.notScored)
      continue;
    const number = read.numbers[code] as number;
    const figure =
      fraction && !(column.values[code] as string).endsWith('%')
        ? Number((number * 100).toPrecision(15))
        : number;
    if (
      read.readings[code] === reading.number &&
      Number.isFinite(figure) &&
      checkOf(measure, figure, options.classes) === undefined
    ) {
      figures[code] = figure;
    } else {
      bad[code] = 1;
      anyBad = true;
    }
  }
  if (read.readings.includes(reading.ambiguous)) {
    // Only large figures have thousands: the column without them would be another trial.
    read.readings.forEach((r, code) => {
      if (r !== reading.number || (column.counts[code] as number) === 0) return;
      read.readings[code] = reading.ambiguous;
      bad[code] = 1;
      figures[code] = NaN;
    });
  }
  noteColumn(measure, column, read, options.book);
  if (measure === 'severity' && !fraction) askFraction(column, figures, options.book);
  return { measure, column, figures, bad, anyBad, read };
}

function noteColumn(measure: string, column: Column, read: NumberColumn, book: RowBook): void {
  let blanks = 0;
  let first = -1;
  let openCode = -1;
  read.readings.forEach((r, code) => {
    const rows = column.counts[code] as number;
    if (rows === 0) return;
    if (r === reading.notScored) {
      blanks += rows;
      const at = column.first[code] as number;
      first = first < 0 ? at : Math.min(first, at);
    } else if (
      r === reading.ambiguous &&
      openCode < 0 &&
      (column.values[code] ?? '').includes(',')
    ) {
      openCode = code;
    }
  });
  const file = book.table.file;
  if (blanks > 0 && measure !== 'lost') {
    book.add(say('not-scored', { file, row: book.shown(first), column: column.name }, blanks));
  }
  if (openCode >= 0) {
    const row = book.shown(column.first[openCode] as number);
    book.add(
      say('decimal-open', { file, row, column: column.name }, column.values[openCode] as string),
    );
  }
}

/** A severity column that never passes 1 and holds fractions may run from 0 to 1. */
function askFraction(column: Column, figures: Float64Array, book: RowBook): void {
  let most = 0;
  let broken = false;
  for (const [code, n] of figures.entries()) {
    if (Number.isNaN(n)) continue;
    most = Math.max(most, n);
    if (!Number.isInteger(n) && !(column.values[code] as string).endsWith('%')) broken = true;
  }
  if (broken && most <= 1)
    book.add(say('severity-fraction', { file: book.table.file, column: column.name }, most));
}

/** Why a bad cell is bad; undefined for an open "1,234", whose question stands with the column. */
export function cellFault(
  m: Measured,
  code: number,
  row: number,
  book: RowBook,
): Problem | undefined {
  const where = { file: book.table.file, row: book.shown(row), column: m.column.name };
  const text = m.column.values[code] as string;
  const how = m.read.readings[code];
  if (how === reading.ambiguous) return undefined;
  if (how === reading.unsaved) return say('formula-unsaved', where);
  if (how === reading.otherMark)
    return say('other-decimal', where, text, m.read.decimal === 'comma');
  if (how === reading.text) return say('text-in-numbers', where, text);
  const n = m.read.numbers[code] as number;
  if (n < 0 && m.measure !== 'grade' && m.measure !== 'stage') return say('negative', where, text);
  if (counts.includes(m.measure)) {
    return Number.isInteger(n)
      ? say('text-in-numbers', where, text)
      : say('not-whole', where, text);
  }
  if (percents.includes(m.measure)) return say('over-100', where, text);
  if (m.measure === 'stage') return say('not-a-stage', where, text);
  return m.measure === 'grade'
    ? say('not-a-class', where, text)
    : say('text-in-numbers', where, text);
}
