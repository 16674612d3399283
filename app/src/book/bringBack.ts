import type { BooksDb } from './booksSchema';
import { broughtBackFile, copiesFolder, nameErased, nameOfPart, photoFile } from './copyNames';
import { sha256 } from './sha256';

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
  const files: (readonly [string, FileSystemHandle])[] = [];
  for await (const file of folder.entries()) files.push(file);
  const erased = new Set(files.flatMap(([file]) => nameErased(file) ?? []));
  for (const [file, handle] of files) {
    const name = nameOfPart(file);
    if (name?.startsWith(prefix) !== true || erased.has(name)) continue;
    const lines = (await readable(handle)).split('\n').flatMap(parsed);
    const id = name.slice(prefix.length);
    found.set(id, [...(found.get(id) ?? []), ...lines]);
  }
  return found;
}

// One file that can't be read must not keep the others from being put back.
const readable = (file: FileSystemHandle): Promise<string> => textOf(file).catch(() => '');

type Told = {
  readonly id: string;
  readonly kind: string;
  readonly thing: string;
  readonly value: unknown;
};

const isEntry = (line: unknown): line is Told =>
  typeof line === 'object' && line !== null && 'id' in line && typeof line.id === 'string';

/** Each id once, as it was written first. */
const firstOfEach = (entries: readonly Told[]): readonly Told[] => [
  ...new Map(entries.toReversed().map((entry) => [entry.id, entry])).values(),
];

type Books = ReadonlyMap<string, readonly Told[]>;

/** All of them in one transaction, or none: a database with any book in it is not filled again. */
async function putBooks(db: BooksDb, books: Books): Promise<void> {
  const tx = db.transaction(['books', 'tail'], 'readwrite', { durability: 'strict' });
  const tail = tx.objectStore('tail');
  await Promise.all([
    ...[...books].flatMap(([document, entries]) => [
      tx.objectStore('books').put({ id: document, addedAt: Date.now() }),
      ...entries.map((entry) => tail.put(JSON.stringify(entry), [document, entry.id])),
    ]),
    tx.done,
  ]);
}

const typeOf = (value: unknown): string | undefined =>
  typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string'
    ? value.type
    : undefined;

async function putPhotos(db: BooksDb, document: string, entries: readonly Told[]): Promise<void> {
  const folder = await copies();
  for (const { kind, thing: hash, value } of entries) {
    const type = typeOf(value);
    if (kind !== 'photo' || type === undefined) continue;
    try {
      const file = await folder?.getFileHandle(photoFile(hash));
      const bytes = await (await file?.getFile())?.arrayBuffer();
      if (bytes === undefined || (await sha256(bytes)) !== hash) continue;
      const known = await db.get('photos', hash);
      const documents = [...new Set([...(known?.documents ?? []), document])];
      await db.put('photos', { hash, documents, type, bytes });
    } catch {
      // This photo has no second copy; its entry says that it was taken.
    }
  }
}

/** Leaves word for the page about back-ups; a browser that can't write it here says nothing. */
async function leaveWord(entries: number): Promise<void> {
  try {
    const file = await (await copies())?.getFileHandle(broughtBackFile, { create: true });
    const stream = await file?.createWritable();
    await stream?.write(JSON.stringify({ at: Date.now(), entries }));
    await stream?.close();
  } catch {
    // The entries are back, which is what matters.
  }
}

/** One page or worker at a time, where the browser can see to that. */
const alone = (work: () => Promise<void>): Promise<void> =>
  typeof navigator !== 'undefined' && 'locks' in navigator
    ? navigator.locks.request('fairbed-bring-back', work)
    : work();

/**
 * Puts the books back from their second copy into a database that has none: it was thrown away, or
 * the filling of a new one was interrupted. Does nothing where there is a book.
 */
export async function bringBooksBack(db: BooksDb): Promise<void> {
  await alone(async () => {
    if ((await db.count('books')) > 0) return;
    const lines = await linesOf('book:');
    const books = new Map(
      [...lines]
        .map(([document, list]) => [document, firstOfEach(list.filter(isEntry))] as const)
        .filter(([, entries]) => entries.length > 0),
    );
    if (books.size === 0) return;
    await putBooks(db, books);
    for (const [document, entries] of books) await putPhotos(db, document, entries);
    await leaveWord([...books.values()].reduce((sum, entries) => sum + entries.length, 0));
  });
}

/** What the second copy holds of every trial of the shelf: its lines, oldest first. */
export async function shelfLines(): Promise<Lines> {
  const atOf = (line: unknown): number =>
    typeof line === 'object' && line !== null && 'at' in line ? Number(line.at) : 0;
  const lines = await linesOf('shelf:');
  return new Map([...lines].map(([id, list]) => [id, list.toSorted((a, b) => atOf(a) - atOf(b))]));
}

/** How many entries of a book the second copy lacks are told by their ids. */
export async function copiedIds(document: string): Promise<ReadonlySet<string>> {
  const name = `book:${document}`;
  const lines = (await linesOf(name)).get('') ?? [];
  return new Set(lines.filter(isEntry).map(({ id }) => id));
}
