import type { Ask } from './ask';

/** What the page is known to ask first, because its address says so. */
export type First = { readonly id: string; readonly ask: Ask };

/** A worker's name that carries the first question: it is there before any message can be. */
export const nameOf = (first: First | undefined): string =>
  first === undefined ? '' : JSON.stringify(first);

/** The first question that a worker's own name carries; undefined where it carries none. */
export const firstOf = (name: string): First | undefined =>
  name === '' ? undefined : (JSON.parse(name) as First);
