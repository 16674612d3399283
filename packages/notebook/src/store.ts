import type { Entry } from './entry';

/**
 * Where the entries of documents are kept. Programs bring one; whichever it is passes the suite of
 * shelf.cases.ts. It reads nothing into an entry but its id, and keeps what a book would refuse.
 */
export type EntryStore = {
  /** Ids of the documents that hold at least one entry, in any order. */
  readonly documents: () => Promise<readonly string[]>;
  /** All entries of a document, in any order; none for a document that is not there. */
  readonly read: (document: string) => Promise<readonly unknown[]>;
  /**
   * Adds entries, all or none; durable when it settles. An id that is there already is left as it
   * is, so the same call twice does no harm and nothing is ever overwritten.
   */
  readonly append: (document: string, entries: readonly Entry[]) => Promise<void>;
  /** Takes a document away with all its entries; nothing happens where there is none. */
  readonly erase: (document: string) => Promise<void>;
};

/** A store that lasts as long as the page: for tests, and where a browser grants no storage. */
export function memoryStore(): EntryStore {
  const documents = new Map<string, Map<string, string>>();
  return {
    documents: () => Promise.resolve([...documents.keys()]),
    // Kept as text, so that nobody can alter an entry by a reference they held on to.
    read: (document) =>
      Promise.resolve(
        [...(documents.get(document)?.values() ?? [])].map((text) => JSON.parse(text) as unknown),
      ),
    append: (document, entries) =>
      new Promise((settle) => {
        // Written out first: an entry that can't be kept leaves nothing half done.
        const texts = entries.map((entry) => [entry.id, JSON.stringify(entry)] as const);
        if (texts.length > 0) {
          const kept = documents.get(document) ?? new Map<string, string>();
          documents.set(document, kept);
          for (const [id, text] of texts) if (!kept.has(id)) kept.set(id, text);
        }
        settle();
      }),
    erase: (document) => {
      documents.delete(document);
      return Promise.resolve();
    },
  };
}
