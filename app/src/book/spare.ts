import type { Entry } from '@fairbed/notebook';

const prefixOf = (document: string): string => `fairbed.unsaved.${document}/`;

const keysOf = (document: string): string[] =>
  Array.from({ length: localStorage.length }, (_, i) => localStorage.key(i) ?? '').filter((key) =>
    key.startsWith(prefixOf(document)),
  );

function listIn(key: string): readonly unknown[] {
  const list: unknown = JSON.parse(localStorage.getItem(key) ?? '[]');
  return Array.isArray(list) ? (list as unknown[]) : [];
}

/**
 * A second place for the entries of a page that the browser's database would not keep: the page may
 * be closed before there is room again. It is small, and nothing rests on it but what would else
 * be lost.
 */
export function putAside(document: string, writer: string, unsaved: readonly Entry[]): void {
  try {
    const key = prefixOf(document) + writer;
    if (unsaved.length === 0) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(unsaved));
  } catch {
    // Full as well: the page says that it must stay open.
  }
}

/** Entries that any page has put aside, unchecked; `forget` once they are on disk. */
export function takeAside(document: string): {
  readonly entries: readonly unknown[];
  readonly forget: () => void;
} {
  try {
    const keys = keysOf(document);
    return {
      entries: keys.flatMap(listIn),
      forget: () => {
        for (const key of keys) localStorage.removeItem(key);
      },
    };
  } catch {
    return { entries: [], forget: () => undefined };
  }
}
