import { openDB } from 'idb';
import type { BooksDb, BooksSchema } from './booksSchema';

export type {
  Backup,
  BookFace,
  BookRecord,
  BooksDb,
  StoredPhoto,
} from './booksSchema';

/** Apart from the shelf's database: what is written in the bed waits for nothing else. */
export const databaseName = 'fairbed-books';

/** 2 has the same stores as 1: it makes those that an interrupted beginning left out. */
const version = 2;

let opening: Promise<BooksDb> | undefined;

/** A copy that can't be read must not keep the database shut. */
async function broughtBack(db: BooksDb): Promise<void> {
  try {
    const { bringBooksBack } = await import('./bringBack');
    await bringBooksBack(db);
  } catch {
    // It is tried again the next time the database is opened and empty.
  }
}

/** Makes the stores that are not there. */
function makeStores(db: BooksDb): void {
  const lacks = (store: 'books' | 'tail' | 'chunks' | 'photos'): boolean =>
    !db.objectStoreNames.contains(store);
  if (lacks('books')) db.createObjectStore('books', { keyPath: 'id' });
  if (lacks('tail')) db.createObjectStore('tail');
  if (lacks('chunks')) db.createObjectStore('chunks');
  if (lacks('photos')) {
    const photos = db.createObjectStore('photos', { keyPath: 'hash' });
    photos.createIndex('documents', 'documents', { multiEntry: true });
  }
}

/** The database of books; opened anew when the browser has closed it. */
export function openBooks(): Promise<BooksDb> {
  opening ??= openDB<BooksSchema>(databaseName, version, {
    upgrade: makeStores,
    // A newer version in another tab must not wait for this one.
    blocking(_current, _blocked, event) {
      (event.target as IDBDatabase).close();
      opening = undefined;
    },
    terminated() {
      opening = undefined;
    },
  })
    .then(async (db) => {
      // New here, or thrown away by a browser that found its own files damaged.
      if ((await db.count('books')) === 0) await broughtBack(db);
      return db;
    })
    .catch((fault: unknown) => {
      opening = undefined;
      throw fault;
    });
  return opening;
}

/** Closes the database; it is opened anew when it is next wanted. */
export async function forgetConnection(): Promise<void> {
  const open = opening;
  opening = undefined;
  (await open)?.close();
}

/**
 * Does `work` on the database. A connection that the browser closed meanwhile is opened anew, once:
 * the second fault is the caller's.
 */
export async function onBooks<T>(work: (db: BooksDb) => Promise<T>): Promise<T> {
  const db = await openBooks();
  try {
    return await work(db);
  } catch (fault) {
    if (!(fault instanceof DOMException) || fault.name !== 'InvalidStateError') throw fault;
    opening = undefined;
    return work(await openBooks());
  }
}

/** Keys of one document in a store whose keys begin with the document's id. */
export const keysOf = (document: string): IDBKeyRange =>
  // An array sorts after every number and text, so this is the end of the document's keys.
  IDBKeyRange.bound([document], [document, []]);
