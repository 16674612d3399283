import { createBook, type Book, type Entry, readEntry, isProblem } from '@fairbed/notebook';
import { recordKinds } from '@fairbed/trial';
import type { Page } from '@playwright/test';

/**
 * Every entry of a document as the browser has it on disk, read past the app: what the app shows
 * could come from its memory. The texts are those that were written.
 */
export async function storedEntries(page: Page, document: string): Promise<readonly Entry[]> {
  const texts = await page.evaluate(async (id) => {
    const settled = <T>(request: IDBRequest<T>): Promise<T> =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(new Error(request.error?.message));
      });
    const db = await settled(indexedDB.open('fairbed-books'));
    const tx = db.transaction(['tail', 'chunks']);
    const range = IDBKeyRange.bound([id], [id, []]);
    const all = (store: string): Promise<string[]> =>
      settled(tx.objectStore(store).getAll(range) as IDBRequest<string[]>);
    const [tail, chunks] = await Promise.all([all('tail'), all('chunks')]);
    db.close();
    return [...chunks, `[${tail.join(',')}]`];
  }, document);
  return texts
    .flatMap((text) => JSON.parse(text) as unknown[])
    .map((raw) => {
      const entry = readEntry(raw);
      if (isProblem(entry)) throw new Error(`${entry.what} ${JSON.stringify(raw)}`);
      return entry;
    });
}

/** A book of entries, folded from scratch; every one of them must be good. */
export function bookFrom(entries: readonly Entry[]): Book {
  const book = createBook(recordKinds);
  const { refused } = book.add(entries);
  if (refused.length > 0) throw new Error(refused[0].problem.what);
  return book;
}
