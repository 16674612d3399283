import { cellKind } from './grid';
import { isNotScored } from './numbers';
import type { RowBook } from './rowbook';
import type { Column } from './table';
import { say } from './say';

/** A column of names (treatments, blocks, plots, plants), each row an index into `labels`. */
export type Names = {
  readonly labels: readonly string[];
  /** One a data row; -1 where the cell is blank or no name. */
  readonly of: Int32Array;
  /** How often each label stands. */
  readonly counts: readonly number[];
};

const longest = 90;

/**
 * Reads a column of names. Spellings that differ only in capitals or spacing are one name (the
 * commoner spelling stands; the other is noted); nothing else is merged. Blank cells and cells that
 * are no name set their row aside unless `blankAllowed`.
 */
export function readNames(column: Column, book: RowBook, blankAllowed = false): Names {
  const size = column.values.length;
  const indexOfCode = new Int32Array(size).fill(-1);
  const spellings: { text: string; code: number; rows: number }[][] = [];
  const byKey = new Map<string, number>();
  let refused = false;
  for (let code = 0; code < size; code++) {
    if ((column.counts[code] as number) === 0) continue;
    const text = column.values[code] as string;
    if (isNotScored(text) || !isName(column, code)) {
      refused = true;
      continue;
    }
    const key = text.toLowerCase().replace(/\s+/g, ' ');
    let index = byKey.get(key);
    if (index === undefined) {
      index = spellings.push([]) - 1;
      byKey.set(key, index);
    }
    spellings[index]?.push({ text, code, rows: column.counts[code] as number });
    indexOfCode[code] = index;
  }
  if (refused) setAsideNameless(column, indexOfCode, book, blankAllowed);
  const labels = spellings.map((forms) => commonest(forms, column, book));
  const order = firstFirst(spellings, column);
  const place = new Int32Array(order.length);
  order.forEach((old, now) => (place[old] = now));
  const of = new Int32Array(column.codes.length);
  const placed = indexOfCode.map((i) => (i < 0 ? -1 : (place[i] as number)));
  for (let row = 0; row < of.length; row++) of[row] = placed[column.codes[row] as number] as number;
  return {
    labels: order.map((i) => labels[i] ?? ''),
    of,
    counts: order.map((i) => (spellings[i] ?? []).reduce((sum, f) => sum + f.rows, 0)),
  };
}

const isName = (column: Column, code: number): boolean =>
  (column.values[code] as string).length <= longest &&
  // The one text that, as a key, reaches an object's prototype; no document takes it as a name.
  column.values[code] !== '__proto__' &&
  column.kinds[code] !== cellKind.error &&
  column.kinds[code] !== cellKind.unsaved;

function setAsideNameless(
  column: Column,
  indexOfCode: Int32Array,
  book: RowBook,
  blankAllowed: boolean,
): void {
  for (let row = 0; row < column.codes.length; row++) {
    const code = column.codes[row] as number;
    if ((indexOfCode[code] as number) >= 0 || book.noData[row] === 1) continue;
    const text = column.values[code] as string;
    const where = { file: book.table.file, row: book.shown(row), column: column.name };
    if (!isNotScored(text)) {
      const unsaved = column.kinds[code] === cellKind.unsaved;
      book.setAside(row, unsaved ? say('formula-unsaved', where) : say('bad-name', where, text));
    } else if (!blankAllowed) book.setAside(row, say('blank-name', where, column.name));
  }
}

function commonest(
  forms: readonly { text: string; code: number; rows: number }[],
  column: Column,
  book: RowBook,
): string {
  const best = [...forms].sort((a, b) => b.rows - a.rows)[0];
  if (best === undefined) return '';
  const label = best.text.replace(/\s+/g, ' ');
  for (const form of forms) {
    if (form === best || form.text === best.text) continue;
    const row = book.shown(column.first[form.code] ?? 0);
    book.add(
      say(
        'spelling-merged',
        { file: book.table.file, row, column: column.name },
        form.text,
        label,
        form.rows,
      ),
    );
  }
  return label;
}

/** Names in the order they first stand in the sheet. */
function firstFirst(spellings: readonly (readonly { code: number }[])[], column: Column): number[] {
  const first = spellings.map((forms) =>
    forms.reduce((least, f) => Math.min(least, column.first[f.code] as number), Infinity),
  );
  return first.map((_, i) => i).sort((a, b) => (first[a] ?? 0) - (first[b] ?? 0));
}

/** Joins two columns of names: "V1" and "S2" are "V1/S2". A blank in either is a blank. */
export function joinNames(a: Names, b: Names): Names {
  const labels: string[] = [];
  const counts: number[] = [];
  const known = new Map<number, number>();
  const of = new Int32Array(a.of.length);
  const width = b.labels.length;
  for (let row = 0; row < of.length; row++) {
    const i = a.of[row] as number;
    const k = b.of[row] as number;
    if (i < 0 || k < 0) {
      of[row] = -1;
      continue;
    }
    let index = known.get(i * width + k);
    if (index === undefined) {
      index = labels.push(`${a.labels[i] ?? ''}/${b.labels[k] ?? ''}`) - 1;
      counts.push(0);
      known.set(i * width + k, index);
    }
    of[row] = index;
    counts[index] = (counts[index] ?? 0) + 1;
  }
  return { labels, of, counts };
}
