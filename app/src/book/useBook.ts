import type { Book, Json } from '@fairbed/notebook';
import { useCallback, useEffect, useState, useSyncExternalStore } from 'react';
import type { About } from './listeners';
import type { OpenBook } from './liveBook';
import { NoSuchBook, openBook, openNow } from './openBook';
import type { Saving } from './saver';
import type { Steps } from './steps';
import { onWho, who } from './writer';

export type BookState =
  | { readonly state: 'opening' }
  | { readonly state: 'open'; readonly open: OpenBook }
  | { readonly state: 'missing' }
  | { readonly state: 'failed'; readonly fault: Error };

type Kept = { readonly id: string; readonly state: BookState };

const opening: BookState = { state: 'opening' };

const stateNow = (id: string): BookState => {
  const open = openNow(id);
  return open === undefined ? opening : { state: 'open', open };
};

const faultState = (fault: unknown): BookState =>
  fault instanceof NoSuchBook
    ? { state: 'missing' }
    : { state: 'failed', fault: fault instanceof Error ? fault : new Error(String(fault)) };

/** The book of that id, opened when it is first wanted; at once where it is open already. */
export function useBook(id: string): BookState {
  const [kept, setKept] = useState<Kept>(() => ({ id, state: stateNow(id) }));
  useEffect(() => {
    let current = true;
    const set = (state: BookState): void => {
      if (current) setKept({ id, state });
    };
    openBook(id).then(
      (open) => set({ state: 'open', open }),
      (fault: unknown) => set(faultState(fault)),
    );
    return () => {
      current = false;
    };
  }, [id]);
  return kept.id === id ? kept.state : opening;
}

function useAbout<T>(open: OpenBook, kind: string, thing: string | undefined, get: () => T): T {
  const subscribe = useCallback(
    (tell: () => void) => {
      const about: About = thing === undefined ? [kind] : [kind, thing];
      return open.subscribe(about, tell);
    },
    [open, kind, thing],
  );
  return useSyncExternalStore(subscribe, get);
}

/** The value that stands for one thing, followed; undefined where there is none. */
export const useValue = (open: OpenBook, kind: string, thing: string): Json | undefined =>
  useAbout(open, kind, thing, () => open.book.current(kind, thing));

/** The standing entries of a kind that have a value, in order of their first writing; followed. */
export const useThings = (open: OpenBook, kind: string): ReturnType<Book['things']> =>
  useAbout(open, kind, undefined, () => open.book.things(kind));

/** All entries of one thing in order of the clock, followed. */
export const useHistory = (
  open: OpenBook,
  kind: string,
  thing: string,
): ReturnType<Book['history']> => useAbout(open, kind, thing, () => open.book.history(kind, thing));

/** The trial that the entries tell of, followed. Folded anew whenever an entry comes. */
export function useTrialOf(open: OpenBook): ReturnType<OpenBook['trial']> {
  const subscribe = useCallback((tell: () => void) => open.subscribe('all', tell), [open]);
  return useSyncExternalStore(subscribe, open.trial);
}

/** What undo and redo would go back on, followed. */
export function useSteps(open: OpenBook): Steps {
  const subscribe = useCallback((tell: () => void) => open.subscribe('all', tell), [open]);
  return useSyncExternalStore(subscribe, open.steps);
}

/** Whether all that was written is on disk, followed. */
export const useSaving = (open: OpenBook): Saving =>
  useSyncExternalStore(open.onSaving, open.saving);

/** The name that the person on this device gave, followed; '' where none. */
export const useWho = (): string => useSyncExternalStore(onWho, who);
