import { putBookBack, readRecords, removeBook, untitled } from '../book/bookCards';
import type { BookRecord } from '../book/database';
import type { Card } from './card';
import { eraseTrial, putBack, readCards, removeTrial } from './store';

const noFace = { title: untitled, invented: false, plots: 0, treatments: 0, rounds: 0 };

const cardOfBook = ({ id, addedAt, removedAt, face = noFace }: BookRecord): Card => ({
  id,
  addedAt,
  ...face,
  book: true,
  ...(removedAt === undefined ? {} : { removedAt }),
});

/** Every card, of sheets and of books, removed ones too; newest first. */
export async function readAllCards(): Promise<readonly Card[]> {
  const [cards, records] = await Promise.all([readCards(), readRecords()]);
  return [...cards, ...records.map(cardOfBook)].sort((a, b) => b.addedAt - a.addedAt);
}

/** Takes a trial off the shelf. It stays on the device until it is erased. */
export const takeOff = ({ id, book }: Card, now: number): Promise<void> =>
  book ? removeBook(id, now) : removeTrial(id, now);

/** Puts a removed trial back where it stood. */
export const putOn = ({ id, book }: Card): Promise<void> => (book ? putBookBack(id) : putBack(id));

/** Erases a removed trial for good. */
export async function erase({ id, book }: Card): Promise<void> {
  if (!book) return eraseTrial(id);
  const { eraseBook } = await import('../book/openBook');
  return eraseBook(id);
}
