import {
  type LedgerEntry,
  type PackageResult,
  type Photos,
  readPackage,
  trialToPackage,
} from '@fairbed/files';
import { createBook } from '@fairbed/notebook';
import { recordKinds, trialFrom } from '@fairbed/trial';
import { entriesStore } from './entriesStore';
import { photosOf, readPhotos } from './photoStore';
import { sha256 } from './sha256';
import { sourceOf } from './views';

/** What a package is to hold: a stored book, what is not stored yet, and its photos or none. */
export type PackOrder = {
  readonly document: string;
  readonly unsaved: readonly unknown[];
  readonly photos: boolean;
};

export type Packed = { readonly bytes: Uint8Array; readonly entries: number };

async function photosFor(document: string): Promise<Photos> {
  const photos = await readPhotos(await photosOf(document));
  return new Map(photos.map(({ hash, bytes }) => [hash, new Uint8Array(bytes)]));
}

/** A book as a data package: its trial, its whole ledger and, where asked for, its photos. */
export async function packed({ document, unsaved, photos }: PackOrder): Promise<Packed> {
  const book = createBook(recordKinds);
  book.add(await entriesStore.read(document));
  book.add(unsaved);
  const entries: readonly LedgerEntry[] = book.entries();
  const { trial } = trialFrom(document, sourceOf(book));
  const carried = photos ? { photos: await photosFor(document) } : {};
  return { bytes: trialToPackage(trial, { entries, ...carried }), entries: entries.length };
}

/** What is in a package; every photo held against its hash. */
export const unpacked = (bytes: Uint8Array, fileName: string): Promise<PackageResult> =>
  readPackage(bytes, fileName, sha256);
