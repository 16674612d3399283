import type { Problem } from '@fairbed/field';
import type { PackageResult, Photos } from '@fairbed/files';
import { type Book, createBook } from '@fairbed/notebook';
import { recordKinds, type Trial } from '@fairbed/trial';
import { without } from '../writable';
import { fileNameOf, saveFile } from '../verdict/saveFile';
import { aside } from './aside';
import { changeRecord, faceOf, hasBook } from './bookCards';
import { appendWithPhotos } from './entriesStore';
import { askToKeep, keepBackup } from './health';
import type { OpenBook } from './liveBook';
import { openBook, tellStored } from './openBook';
import type { Packed } from './packing';
import type { Packer } from './packing.worker';
import type { PhotoBytes } from './photoStore';

const hirePacker = (): Worker =>
  new Worker(new URL('./packing.worker.ts', import.meta.url), { type: 'module' });

const zipType = 'application/zip';

type WithPhotos = { readonly photos: boolean };

const pack = (open: OpenBook, { photos }: WithPhotos): Promise<Packed> =>
  aside<Packer, Packed>(hirePacker(), (packer) =>
    packer.packed({ document: open.id, unsaved: open.unsaved(), photos }),
  );

/** A book as a data package (zip), what is not on disk yet included. */
export async function packageOf(open: OpenBook, photos: WithPhotos): Promise<Blob> {
  const { bytes } = await pack(open, photos);
  return new Blob([new Uint8Array(bytes)], { type: zipType });
}

/** Hands the package to the browser's downloads, and remembers that a back-up was saved. */
export async function saveBackup(open: OpenBook, photos: WithPhotos): Promise<void> {
  const { bytes, entries } = await pack(open, photos);
  saveFile(`${fileNameOf(faceOf(open.book).title)}.zip`, zipType, bytes);
  await keepBackup(open.id, { at: Date.now(), entries });
}

/** What came of a file. */
export type TakenIn =
  | {
      /** Joined to the book of that id, or kept as a new one. */
      readonly kind: 'merged' | 'new';
      readonly id: string;
      /** Entries that this device did not have. */
      readonly fresh: number;
      readonly photos: number;
      /** Things about which entries now clash. */
      readonly clashes: number;
      readonly notes: readonly Problem[];
    }
  /** A trial without a ledger: it is for the shelf, not for a book. */
  | { readonly kind: 'trial'; readonly trial: Trial; readonly notes: readonly Problem[] }
  /** Nothing was taken in; every reason is told. */
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] };

/** The book that entries are to join: as it is on this device, or an empty one. */
async function bookOn(id: string): Promise<Book> {
  const open = (await hasBook(id)) ? await openBook(id) : undefined;
  const book = createBook(recordKinds);
  book.add(open?.book.entries() ?? []);
  return book;
}

// The entry of a photo says what it is; its bytes were held against its hash.
function typeOf(book: Book, hash: string): string {
  const about = book.current('photo', hash);
  const type = typeof about === 'object' && about !== null && 'type' in about ? about.type : '';
  return typeof type === 'string' && /^image\/[a-z0-9.+-]+$/.test(type) ? type : 'image/jpeg';
}

const bytesOf = (book: Book, photos: Photos | undefined): readonly PhotoBytes[] =>
  [...(photos ?? [])].map(([hash, bytes]) => ({
    hash,
    type: typeOf(book, hash),
    bytes: new Uint8Array(bytes).buffer,
  }));

type Coming = {
  readonly id: string;
  readonly entries: readonly unknown[];
  readonly photos?: Photos | undefined;
  readonly notes?: readonly Problem[];
};

/**
 * Takes entries of one document in, all or none: joined to what is here by their ids, nothing
 * overwritten. Rejects with the browser's fault where they do not go on disk.
 */
export async function takeInEntries({ id, entries, photos, notes = [] }: Coming): Promise<TakenIn> {
  const known = await hasBook(id);
  const book = await bookOn(id);
  const { fresh, refused } = book.add(entries);
  if (refused.length > 0) return { kind: 'refused', problems: refused.map((one) => one.problem) };
  const pictures = bytesOf(book, photos);
  await appendWithPhotos(id, fresh, pictures);
  tellStored(id, fresh);
  // A trial that was off the shelf is on it again: somebody has just brought it.
  await changeRecord(id, (record) => ({ ...without(record, 'removedAt'), face: faceOf(book) }));
  if (!known) void askToKeep();
  return {
    kind: known ? 'merged' : 'new',
    id,
    fresh: fresh.length,
    photos: pictures.length,
    clashes: book.clashes().length,
    notes,
  };
}

/** What is in a package, taken in: see `takeIn`. */
export async function takeInPackage(read: PackageResult): Promise<TakenIn> {
  const { trial, entries, photos, problems } = read;
  if (trial === undefined) return { kind: 'refused', problems };
  if (entries === undefined) return { kind: 'trial', trial, notes: problems };
  return takeInEntries({ id: trial.id, entries, photos, notes: problems });
}

/**
 * Takes a data package in: its ledger is joined to the book of the same id, or kept as a new one,
 * its photos with it. A damaged package is refused whole, with its reasons: every part, every entry
 * and every photo's hash is looked at before the first is kept, and all are kept at once.
 */
export async function takeIn(bytes: Uint8Array, fileName: string): Promise<TakenIn> {
  const read = await aside<Packer, PackageResult>(hirePacker(), (packer) =>
    packer.unpacked(bytes, fileName),
  );
  return takeInPackage(read);
}
