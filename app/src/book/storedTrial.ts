import { createBook } from '@fairbed/notebook';
import { recordKinds, type Trial, trialFrom } from '@fairbed/trial';
import { entriesStore } from './entriesStore';
import { sourceOf } from './views';

/**
 * The trial that a stored book tells of, read from disk; undefined where there is no such book. For
 * a worker, which has no open book of its own.
 */
export async function readStoredBook(id: string): Promise<Trial | undefined> {
  const entries = await entriesStore.read(id);
  if (entries.length === 0) return undefined;
  const book = createBook(recordKinds);
  book.add(entries);
  return trialFrom(id, sourceOf(book)).trial;
}
