import { useSyncExternalStore } from 'react';
import type { TakenIn } from '../book/exchange';

/** What came of a file, kept until it has been read on the page of its trial. */
export type Taken = { readonly taken: TakenIn; readonly file: string };

let latest: Taken | undefined;
const listeners = new Set<() => void>();

/** Keeps what came of a file, to be told on the next page; undefined once it was told. */
export function keepTaken(taken: Taken | undefined): void {
  latest = taken;
  for (const tell of listeners) tell();
}

const subscribe = (tell: () => void): (() => void) => {
  listeners.add(tell);
  return () => {
    listeners.delete(tell);
  };
};

/** What came of the file brought in last, followed. */
export const useTaken = (): Taken | undefined => useSyncExternalStore(subscribe, () => latest);
