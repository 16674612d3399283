/** Folder of the second copy, in the browser's private file system. */
export const copiesFolder = 'fairbed-copies';

/** The file that says when, and how many, entries were put back. */
export const broughtBackFile = 'brought-back.json';

/** What the keeper of the second copy is asked to do. */
export type CopyJob =
  | { readonly kind: 'lines'; readonly name: string; readonly text: string }
  | { readonly kind: 'whole'; readonly file: string; readonly bytes: ArrayBuffer }
  | { readonly kind: 'erase'; readonly name: string }
  | { readonly kind: 'drop'; readonly file: string };

/** A thing's file; pages that are open at once have one each. */
export const partName = (name: string, part: number): string =>
  `${encodeURIComponent(name)}.${part}.jsonl`;

/** Says that a thing was erased for good: a part of it that another page held open does not count. */
export const erasedName = (name: string): string => `${encodeURIComponent(name)}.erased`;

/** The thing that a file says was erased; undefined for other files. */
export function nameErased(file: string): string | undefined {
  const found = /^(.*)\.erased$/.exec(file)?.[1];
  return found === undefined ? undefined : decodeURIComponent(found);
}

/** The thing whose lines a file holds; undefined for other files. */
export function nameOfPart(file: string): string | undefined {
  const found = /^(.*)\.\d+\.jsonl$/.exec(file)?.[1];
  return found === undefined ? undefined : decodeURIComponent(found);
}

export const photoFile = (hash: string): string => `photo-${hash}`;
export const bookName = (document: string): string => `book:${document}`;
export const shelfName = (id: string): string => `shelf:${id}`;
