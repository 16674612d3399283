import { isNotScored } from './numbers';
import type { RowBook } from './rowbook';
import type { Column } from './table';
import { say } from './say';

const totals = new Set([
  'total',
  'totals',
  'grand total',
  'subtotal',
  'sum',
  'mean',
  'means',
  'average',
  'avg',
  'overall',
  'std',
  'sd',
  'se',
  'sem',
  'lsd',
  'cv',
  'cv %',
  'summe',
  'gesamt',
  'mittel',
  'mittelwert',
  'moyenne',
  'somme',
  'media',
  'promedio',
  'suma',
  'somma',
  'totale',
  'gemiddelde',
  'totaal',
  'média',
  'soma',
]);

/** "Total", "Mean", "Mean of A", "LSD (5%)": words that begin a summary row and no treatment's name. */
const isTotal = (text: string): boolean => {
  const bare = text
    .toLowerCase()
    .replace(/[:.=]+$/, '')
    .trim();
  return totals.has(bare) || /^(grand total|total|mean|average|sum|lsd)\b( of| \(|:)/.test(bare);
};

/**
 * Sets aside rows that are no data: headings repeated further down, and rows of totals or means
 * (looked for where names stand, not among the figures).
 */
export function setAsideNoData(
  columns: readonly Column[],
  naming: readonly Column[],
  book: RowBook,
): void {
  const repeats = new Int32Array(book.table.rows);
  for (const column of columns) {
    const heading = column.name.toLowerCase();
    const again = Uint8Array.from(column.values, (text) =>
      text.toLowerCase() === heading ? 1 : 0,
    );
    if (!again.some((hit, code) => hit === 1 && (column.counts[code] as number) > 0)) continue;
    for (let row = 0; row < repeats.length; row++) {
      repeats[row] = (repeats[row] as number) + (again[column.codes[row] as number] as number);
    }
  }
  const needed = Math.max(1, Math.min(2, columns.length));
  repeats.forEach((hits, row) => {
    if (hits >= needed) {
      book.noData[row] = 1;
      book.setAside(row, say('heading-again', { file: book.table.file, row: book.shown(row) }));
    }
  });
  for (const column of naming) setAsideTotals(column, book);
}

function setAsideTotals(column: Column, book: RowBook): void {
  const total = Uint8Array.from(column.values, (text, code) =>
    (column.counts[code] as number) > 0 && !isNotScored(text) && isTotal(text) ? 1 : 0,
  );
  if (!total.includes(1)) return;
  for (let row = 0; row < column.codes.length; row++) {
    const code = column.codes[row] as number;
    if (total[code] === 0 || book.aside[row] === 1) continue;
    book.noData[row] = 1;
    const where = { file: book.table.file, row: book.shown(row), column: column.name };
    book.setAside(row, say('totals-row', where, column.values[code] ?? ''));
  }
}
