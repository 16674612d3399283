import type { DBSchema, IDBPDatabase } from 'idb';

/** What a book's card on the shelf shows; worked out from its entries whenever it is open. */
export type BookFace = {
  readonly title: string;
  readonly invented: boolean;
  readonly plots: number;
  readonly treatments: number;
  readonly rounds: number;
};

/** The last back-up of a book: when (ms since 1970), and how many entries it held. */
export type Backup = { readonly at: number; readonly entries: number };

/** What the device knows of a book beside its entries. Nothing in it can't be made again. */
export type BookRecord = {
  readonly id: string;
  /** Milliseconds since 1970. */
  readonly addedAt: number;
  /** Set while the book is off the shelf and can be put back. */
  readonly removedAt?: number;
  readonly face?: BookFace;
  readonly backup?: Backup;
};

/** A photo under its own hash, and the documents that hold it. */
export type StoredPhoto = {
  readonly hash: string;
  readonly documents: readonly string[];
  readonly type: string;
  readonly bytes: ArrayBuffer;
};

/**
 * `tail` holds the newest entries one by one, `chunks` the older ones some two hundred at a time,
 * both as JSON text: a season of 24,000 records read one by one takes seconds on an old phone.
 */
export type BooksSchema = DBSchema & {
  books: { key: string; value: BookRecord };
  tail: { key: [document: string, id: string]; value: string };
  chunks: { key: [document: string, number: number]; value: string };
  photos: { key: string; value: StoredPhoto; indexes: { documents: string } };
};

export type BooksDb = IDBPDatabase<BooksSchema>;
