import type { BooksDb } from './booksSchema';
import { broughtBackKey, copiesFolder, nameOfPart, photoFile } from './copyNames';

type Lines = ReadonlyMap<string, readonly unknown[]>;

/** Files are listed by an iterator that the shared list of types does not have yet. */
type Listed = FileSystemDirectoryHandle & {
  entries(): AsyncIterable<readonly [string, FileSystemHandle]>;
};

// A line that was torn when the browser was killed was never shown as saved.
function parsed(line: string): readonly unknown[] {
  try {
    return line === '' ? [] : [JSON.parse(line) as unknown];
  } catch {
    return [];
  }
}

async function copies(): Promise<Listed | undefined> {
  try {
    const root = await navigator.storage.getDirectory();
    return await root.getDirectoryHandle(copiesFolder);
  } catch {
    // None were made here, or the browser has no such files.
    return undefined;
  }
}

const textOf = async (file: FileSystemHandle): Promise<string> =>
  (await (file as FileSystemFileHandle).getFile()).text();

/** The lines of the second copy by what they are of, for names that begin with `prefix`. */
async function linesOf(prefix: string): Promise<Lines> {
  const found = new Map<string, unknown[]>();
  const folder = await copies();
  if (folder === undefined) return found;
  for await (const [file, handle] of folder.entries()) {
    const name = nameOfPart(file);
    if (name?.startsWith(prefix) !== true) continue;
    const lines = (await textOf(handle)).split('\n').flatMap(parsed);
    const id = name.slice(prefix.length);
    found.set(id, [...(found.get(id) ?? []), ...lines]);
  }
  return found;
}

type Told = { readonly id: string; readonly kind: string; readonly thing: string; value: unknown };

const isEntry = (line: unknown): line is Told =>
  typeof line === 'object' && line !== null && 'id' in line && typeof line.id === 'string';

async function putBook(db: BooksDb, document: string, entries: readonly Told[]): Promise<void> {
  const tx = db.transaction(['books', 'tail'], 'readwrite', { durability: 'strict' });
  const tail = tx.objectStore('tail');
  await Promise.all([
    tx.objectStore('books').put({ id: document, addedAt: Date.now() }),
    ...entries.map((entry) => tail.put(JSON.stringify(entry), [document, entry.id])),
    tx.done,
  ]);
}

const typeOf = (value: unknown): string =>
  typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string'
    ? value.type
    : 'image/jpeg';

async function putPhotos(db: BooksDb, document: string, entries: readonly Told[]): Promise<void> {
  const folder = await copies();
  for (const { kind, thing: hash, value } of entries) {
    if (kind !== 'photo') continue;
    try {
      const file = await folder?.getFileHandle(photoFile(hash));
      const bytes = await (await file?.getFile())?.arrayBuffer();
      const known = await db.get('photos', hash);
      const documents = [...new Set([...(known?.documents ?? []), document])];
      if (bytes) await db.put('photos', { hash, documents, type: typeOf(value), bytes });
    } catch {
      // This photo has no second copy; its entry says that it was taken.
    }
  }
}

/** Puts the books back from their second copy into a database that was found empty. */
export async function bringBooksBack(db: BooksDb): Promise<void> {
  let count = 0;
  for (const [document, lines] of await linesOf('book:')) {
    const entries = lines.filter(isEntry);
    if (entries.length === 0) continue;
    await putBook(db, document, entries);
    await putPhotos(db, document, entries);
    count += new Set(entries.map(({ id }) => id)).size;
  }
  if (count > 0)
    localStorage.setItem(broughtBackKey, JSON.stringify({ at: Date.now(), entries: count }));
}

/** What the second copy holds of every trial of the shelf: its lines, oldest first. */
export const shelfLines = (): Promise<Lines> => linesOf('shelf:');
