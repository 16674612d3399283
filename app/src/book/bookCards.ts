import type { Book } from '@fairbed/notebook';
import { tellChange } from './changes';
import { type BookFace, type BookRecord, onBooks } from './database';
import type { OpenBook } from './liveBook';
import { without } from '../writable';

const lengthOf = (value: unknown): number => (Array.isArray(value) ? value.length : 0);

function plotsIn(book: Book): number {
  const draws = book.things('draw').toSorted(([a], [b]) => Number(a) - Number(b));
  const value = draws.at(-1)?.[1].value;
  if (typeof value !== 'object' || value === null || !('layout' in value)) return 0;
  return lengthOf(value.layout);
}

/** The title of a book that has none yet. */
export const untitled = 'Untitled trial';

/** What a book's card shows. */
export function faceOf(book: Book): BookFace {
  const title = book.current('plan', 'title');
  return {
    title: typeof title === 'string' && title.trim() !== '' ? title : untitled,
    invented: book.current('plan', 'invented') === true,
    plots: plotsIn(book),
    treatments: lengthOf(book.current('plan', 'treatments')),
    rounds: book.things('round').length,
  };
}

/** Changes what the device knows of a book, and tells; nothing where there is no such book. */
export async function changeRecord(
  id: string,
  change: (record: BookRecord) => BookRecord,
): Promise<void> {
  await onBooks(async (db) => {
    const tx = db.transaction('books', 'readwrite', { durability: 'strict' });
    const record = await tx.store.get(id);
    if (record) await tx.store.put(change(record));
    await tx.done;
  });
  tellChange({ document: id, entries: [] });
}

/** What the device knows of every book, those off the shelf too. */
export const readRecords = (): Promise<readonly BookRecord[]> =>
  onBooks((db) => db.getAll('books'));

/** What the device knows of a book; undefined where it has none of that id. */
export const readRecord = (id: string): Promise<BookRecord | undefined> =>
  onBooks((db) => db.get('books', id));

/** Is there a book of that id on this device? */
export const hasBook = (id: string): Promise<boolean> =>
  onBooks(async (db) => (await db.getKey('books', id)) !== undefined);

/** Takes a book off the shelf. It stays on the device until it is erased. */
export const removeBook = (id: string, now: number): Promise<void> =>
  changeRecord(id, (record) => ({ ...record, removedAt: now }));

/** Puts a removed book back where it stood. */
export const putBookBack = (id: string): Promise<void> =>
  changeRecord(id, (record) => without(record, 'removedAt'));

const quietFor = 800;

const sameFace = (a: BookFace | undefined, b: BookFace): boolean =>
  JSON.stringify(a) === JSON.stringify(b);

/**
 * Follows a book and keeps what its card shows, once nothing of it has changed for a moment. A
 * score changes no card.
 */
export function keepFace(open: Pick<OpenBook, 'id' | 'book' | 'subscribe'>): void {
  let waiting: ReturnType<typeof setTimeout> | undefined;
  const keep = (): void => {
    const face = faceOf(open.book);
    void readRecord(open.id)
      .then(async (record) => {
        if (record === undefined || sameFace(record.face, face)) return;
        await changeRecord(open.id, (now) => ({ ...now, face }));
      })
      // A card that is not kept is worked out again when the book is next opened.
      .catch(() => undefined);
  };
  const soon = (): void => {
    clearTimeout(waiting);
    waiting = setTimeout(keep, quietFor);
  };
  for (const kind of ['plan', 'draw', 'round']) open.subscribe([kind], soon);
  soon();
}
