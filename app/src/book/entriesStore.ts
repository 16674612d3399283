import type { Entry, EntryStore } from '@fairbed/notebook';
import { type BooksDb, keysOf, onBooks } from './database';
import { type PhotoBytes, putPhoto } from './photoStore';
import { copyEntries, copyPhoto, eraseBookCopy, erasePhotoCopy } from './secondCopy';

/** Entries of the tail that are rolled into a chunk; half of it stays cheap to read one by one. */
const rollAt = 200;
/** More entries at once than this go into chunks straight away. */
const manyAtOnce = 100;
/** Signs in a chunk: above 64 KB Chromium keeps a value as a file of its own, slow to open. */
const chunkSigns = 24_000;

/** Entries as JSON texts, in groups that make one chunk each. */
function groupsOf(texts: readonly string[]): string[] {
  const groups: string[] = [];
  let group: string[] = [];
  let signs = 0;
  const close = (): void => {
    if (group.length > 0) groups.push(`[${group.join(',')}]`);
    group = [];
    signs = 0;
  };
  for (const text of texts) {
    if (signs + text.length > chunkSigns) close();
    group.push(text);
    signs += text.length;
    if (group.length === rollAt) close();
  }
  close();
  return groups;
}

// What can't be read is handed on as it is: the book refuses it, in words, and keeps the rest.
function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return text;
  }
}

const listOf = (text: string): readonly unknown[] => {
  const value = parsed(text);
  return Array.isArray(value) ? (value as unknown[]) : [value];
};

const idOf = (entry: unknown): unknown =>
  typeof entry === 'object' && entry !== null && 'id' in entry ? entry.id : undefined;

/** Each id once, as it was written first. */
function firstOfEach<T>(entries: readonly T[]): readonly T[] {
  const seen = new Set<unknown>();
  return entries.filter((entry) => {
    const id = idOf(entry);
    if (id === undefined) return true;
    if (seen.has(id)) return false;
    seen.add(id);
    return true;
  });
}

const writing = (db: BooksDb, durability: 'strict' | 'relaxed') =>
  db.transaction(['books', 'tail', 'chunks'], 'readwrite', { durability });

const everything = (db: BooksDb) =>
  db.transaction(['books', 'tail', 'chunks', 'photos'], 'readwrite', { durability: 'strict' });

type Everything = ReturnType<typeof everything>;
type Writing = ReturnType<typeof writing>;

/** A transaction over more stores does for one over fewer; its type does not know. */
const asWriting = (tx: Everything): Writing => tx as unknown as Writing;

async function nextNumber(tx: Writing, document: string): Promise<number> {
  const last = await tx.objectStore('chunks').openKeyCursor(keysOf(document), 'prev');
  return last === null ? 1 : last.key[1] + 1;
}

/** Moves the tail, and `more` behind it, into chunks: in the one transaction, or not at all. */
async function roll(tx: Writing, document: string, more: readonly string[]): Promise<void> {
  const range = keysOf(document);
  const tail = await tx.objectStore('tail').getAll(range);
  const first = await nextNumber(tx, document);
  const chunks = groupsOf([...tail, ...more]);
  await requested([
    ...chunks.map((chunk, i) => () => tx.objectStore('chunks').add(chunk, [document, first + i])),
    () => tx.objectStore('tail').delete(range),
  ]);
}

const textsOf = (entries: readonly Entry[]): readonly string[] =>
  firstOfEach(entries).map((entry) => JSON.stringify(entry));

async function addEach(tx: Writing, document: string, entries: readonly Entry[]): Promise<void> {
  const tail = tx.objectStore('tail');
  const add = async (entry: Entry): Promise<void> => {
    const key: [string, string] = [document, entry.id];
    if ((await tail.getKey(key)) === undefined) await tail.add(JSON.stringify(entry), key);
  };
  await requested(firstOfEach(entries).map((entry) => () => add(entry)));
}

async function addBook(tx: Writing, document: string): Promise<void> {
  const books = tx.objectStore('books');
  if ((await books.getKey(document)) === undefined) {
    await books.add({ id: document, addedAt: Date.now() });
  }
}

/**
 * Settles once `tx` is on disk. A fault in any of its requests, or between them, undoes it whole.
 */
async function within(tx: Writing, work: (tx: Writing) => Promise<unknown>): Promise<void> {
  // Waited for below, also where `work` fails first.
  tx.done.catch(() => undefined);
  try {
    await work(tx);
  } catch (fault) {
    abort(tx);
    // The reason of the transaction says more than that of a request it pulled down.
    throw tx.error ?? fault;
  }
  await tx.done;
}

function abort(tx: Writing): void {
  try {
    tx.abort();
  } catch {
    // It is undone already.
  }
}

/** Requests of a transaction. Where one fails all do, and the transaction says why. */
const requested = (requests: readonly (() => Promise<unknown>)[]): Promise<unknown> =>
  Promise.all(requests.map(async (request) => request()));

/** Adds entries and photos together: all of them or, where one does not go in, none. */
export async function appendWithPhotos(
  document: string,
  entries: readonly Entry[],
  photos: readonly PhotoBytes[],
): Promise<void> {
  await onBooks((db) => {
    const whole = everything(db);
    const pictures = whole.objectStore('photos');
    return within(asWriting(whole), (tx) =>
      requested([
        () => addBook(tx, document),
        () => roll(tx, document, textsOf(entries)),
        ...photos.map((photo) => () => putPhoto(pictures, document, photo)),
      ]),
    );
  });
  // Behind the database: what it refuses must not come back from here.
  await Promise.all([
    copyEntries(document, textsOf(entries)),
    ...photos.map(({ hash, bytes }) => copyPhoto(hash, bytes)),
  ]);
}

type Adding = (tx: Writing, document: string, entries: readonly Entry[]) => Promise<unknown>;

const addMany: Adding = (tx, document, entries) => roll(tx, document, textsOf(entries));

/**
 * New entries, as a page writes them, without asking first whether they are there: one turn of the
 * page less, which under a busy thumb is most of the time until they are kept.
 */
const addNew: Adding = (tx, document, entries) =>
  requested(
    entries.map(
      (entry) => () => tx.objectStore('tail').add(JSON.stringify(entry), [document, entry.id]),
    ),
  );

const isThere = (fault: unknown): boolean =>
  fault instanceof Error && fault.name === 'ConstraintError';

/** Entries that went to the second copy while the database would not have them yet. */
const tried = new Set<string>();

async function append(document: string, entries: readonly Entry[]): Promise<void> {
  if (entries.length === 0) return;
  const by = (add: Adding): Promise<void> =>
    onBooks((db) =>
      within(writing(db, 'strict'), (tx) =>
        requested([() => addBook(tx, document), () => add(tx, document, entries)]),
      ),
    );
  // Side by side; "saved" waits for both. What is tried again is in the copy already.
  const fresh = entries.filter(({ id }) => !tried.has(`${document}/${id}`));
  for (const { id } of fresh) tried.add(`${document}/${id}`);
  const copied = copyEntries(document, textsOf(fresh));
  if (entries.length > manyAtOnce) await by(addMany);
  else {
    await by(addNew).catch((fault: unknown) => {
      // The whole of it was undone: one of them was there already.
      if (!isThere(fault)) throw fault;
      return by(addEach);
    });
  }
  for (const { id } of entries) tried.delete(`${document}/${id}`);
  await copied;
}

async function read(document: string): Promise<readonly unknown[]> {
  return onBooks(async (db) => {
    const tx = db.transaction(['tail', 'chunks']);
    const range = keysOf(document);
    const [chunks, tail] = await Promise.all([
      tx.objectStore('chunks').getAll(range),
      tx.objectStore('tail').getAll(range),
    ]);
    return firstOfEach([...chunks.flatMap(listOf), ...tail.map(parsed)]);
  });
}

async function erasePhotos(tx: Everything, document: string): Promise<void> {
  const photos = tx.objectStore('photos');
  let cursor = await photos.index('documents').openCursor(document);
  while (cursor) {
    const documents = cursor.value.documents.filter((other) => other !== document);
    if (documents.length === 0) {
      void erasePhotoCopy(cursor.primaryKey);
      await cursor.delete();
    } else await cursor.update({ ...cursor.value, documents });
    cursor = await cursor.continue();
  }
}

async function erase(document: string): Promise<void> {
  // First: what is erased for good must not come back.
  await eraseBookCopy(document);
  await onBooks(async (db) => {
    const tx = everything(db);
    const range = keysOf(document);
    await Promise.all([
      tx.objectStore('books').delete(document),
      tx.objectStore('tail').delete(range),
      tx.objectStore('chunks').delete(range),
      erasePhotos(tx, document),
      tx.done,
    ]);
  });
}

/**
 * Rolls the tail of a document into a chunk once it is long enough. Any moment will do, and any
 * number of pages at once: the transaction is done whole or not at all, so an entry is always in
 * one of the two places.
 */
export async function rollTail(document: string): Promise<boolean> {
  return onBooks(async (db) => {
    if ((await db.count('tail', keysOf(document))) < rollAt) return false;
    // A power cut may undo it, which loses nothing; so it need not wait for the disk.
    await within(writing(db, 'relaxed'), (tx) => roll(tx, document, []));
    return true;
  });
}

/**
 * Entries in this browser's IndexedDB. `append` settles once they are on disk
 * (`durability: 'strict'`); an entry that is there already is left as it was written first.
 */
export const entriesStore: EntryStore = {
  documents: () => onBooks((db) => db.getAllKeys('books')),
  read,
  append,
  erase,
};
