import type { Trial } from '@fairbed/trial';
import { useEffect, useState } from 'react';
import { readRecord } from '../book/bookCards';
import { onBookChange } from '../book/changes';
import type { OpenBook } from '../book/liveBook';
import { openBook } from '../book/openBook';
import { dayAndTime } from '../book/photos';
import { today } from '../plan/today';
import { dayOfMs, nowOf, type TrialNow } from './nowOf';

export type Looked = TrialNow & { readonly trial: Trial };

/** Trials looked at so far; `fault` where one could not be opened. */
export type Now = {
  readonly looked: ReadonlyMap<string, Looked>;
  readonly faults: ReadonlyMap<string, string>;
  readonly done: boolean;
};

async function lookAt(open: OpenBook): Promise<Looked> {
  const backup = (await readRecord(open.id))?.backup;
  const lastBackup = backup && dayOfMs(backup.at);
  const trial = open.trial();
  const kept = {
    clashes: open.book.clashes().length,
    unsaved: Math.max(0, open.book.size() - (backup?.entries ?? 0)),
    ...(lastBackup === undefined ? {} : { lastBackup }),
  };
  const now = { day: today(), time: dayAndTime(new Date()).time };
  return { id: open.id, title: trial.title, trial, items: nowOf(trial, kept, now) };
}

const breath = (): Promise<void> => new Promise((go) => setTimeout(go, 0));
const words = (fault: unknown): string => (fault instanceof Error ? fault.message : String(fault));

const nothing: Now = { looked: new Map(), faults: new Map(), done: false };

type Set = (change: (now: Now) => Now) => void;

async function lookInto(id: string, set: Set): Promise<void> {
  try {
    const looked = await lookAt(await openBook(id));
    set((now) => ({ ...now, looked: new Map(now.looked).set(id, looked) }));
  } catch (fault) {
    set((now) => ({ ...now, faults: new Map(now.faults).set(id, words(fault)) }));
  }
}

/** How long a book is left alone after a change before it is looked at again. */
const calm = 400;

/**
 * Looks into these books one after another, never two at once, so that the page stays alive; and
 * again into each that changes, and into all when the page comes back to the front: the day may be
 * another.
 */
export function useNow(ids: readonly string[]): Now {
  const key = ids.join('\n');
  const [now, setNow] = useState<Now>(nothing);
  useEffect(() => {
    let current = true;
    const set: Set = (change) => {
      if (current) setNow(change);
    };
    const books = key === '' ? [] : key.split('\n');
    const lookAll = async (): Promise<void> => {
      for (const id of books) {
        await breath();
        if (!current) return;
        await lookInto(id, set);
      }
      set((was) => ({ ...was, done: true }));
    };
    setNow(nothing);
    void lookAll();
    const waiting = new Map<string, ReturnType<typeof setTimeout>>();
    const stop = onBookChange(({ document }) => {
      if (!books.includes(document)) return;
      clearTimeout(waiting.get(document));
      waiting.set(
        document,
        setTimeout(() => void lookInto(document, set), calm),
      );
    });
    const back = (): void => {
      if (document.visibilityState === 'visible') void lookAll();
    };
    document.addEventListener('visibilitychange', back);
    return () => {
      current = false;
      stop();
      for (const timer of waiting.values()) clearTimeout(timer);
      document.removeEventListener('visibilitychange', back);
    };
  }, [key]);
  return now;
}
