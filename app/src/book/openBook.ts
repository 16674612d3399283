import type { Entry } from '@fairbed/notebook';
import { keepFace } from './bookCards';
import { type News, onNews, tellChange } from './changes';
import { entriesStore, rollTail } from './entriesStore';
import { liveBook, type LiveBook, type OpenBook } from './liveBook';
import { copyEntries, eraseBookCopy, readySecondCopy } from './secondCopy';
import { putAside, takeAside } from './spare';
import { newWriter } from './writer';

/** There is no book of that id on this device. */
export class NoSuchBook extends Error {
  override readonly name = 'NoSuchBook';
  constructor() {
    super('This trial is not on this device.');
  }
}

const opened = new Map<string, Promise<LiveBook>>();
/** The books that are open now, for what has to be done at once. */
const live = new Map<string, LiveBook>();

const inIdleTime = (work: () => void): void => {
  if (typeof requestIdleCallback === 'undefined') setTimeout(work, 1000);
  else requestIdleCallback(work, { timeout: 10_000 });
};

/** After so many entries the store is asked whether its tail is long. */
const tidyAfter = 100;

function createTidying(id: string): (saved: number) => void {
  let since = tidyAfter;
  return (saved) => {
    since += saved;
    if (since < tidyAfter) return;
    since = 0;
    // A tail that can't be rolled now is only slower to read.
    inIdleTime(() => void rollTail(id).catch(() => false));
  };
}

let left = false;
// A worker has no page that could be closed.
const isLeaving = (): boolean =>
  left || (typeof document !== 'undefined' && document.visibilityState === 'hidden');

/** Adds to the second copy what it lacks: books from before there was one, and lines that failed. */
async function healCopy(id: string, { open }: LiveBook): Promise<void> {
  const { copiedIds } = await import('./bringBack');
  const there = await copiedIds(id);
  if (there.size >= open.book.size()) return;
  const lacking = open.book.entries().filter((entry) => !there.has(entry.id));
  await copyEntries(
    id,
    lacking.map((entry) => JSON.stringify(entry)),
  );
}

function makeLive(id: string, entries: readonly unknown[]): LiveBook {
  readySecondCopy();
  const writer = newWriter();
  const tidy = createTidying(id);
  const made = liveBook(id, entries, {
    store: entriesStore,
    writer,
    now: Date.now,
    onSaved: (saved) => {
      tellChange({ document: id, entries: saved });
      tidy(saved.length);
    },
    isLeaving,
    onUnsaved: (unsaved) => putAside(id, writer, unsaved),
  });
  live.set(id, made);
  keepFace(made.open);
  if (entries.length > 0) {
    tidy(0);
    inIdleTime(() => void healCopy(id, made).catch(() => undefined));
  }
  return made;
}

async function readLive(id: string): Promise<LiveBook> {
  // What other pages write while this one reads is heard before, and added after.
  const early: News[] = [];
  const stop = onNews((news) => {
    if (news.document === id) early.push(news);
  });
  try {
    const stored = await entriesStore.read(id);
    const aside = takeAside(id);
    if (stored.length === 0 && aside.entries.length === 0) throw new NoSuchBook();
    const made = makeLive(id, stored);
    for (const { entries } of early) made.hear(entries);
    if (aside.entries.length > 0) void made.open.takeIn(aside.entries).then(aside.forget);
    return made;
  } finally {
    stop();
  }
}

/**
 * The book of that id, read once and then kept in memory. Rejects with `NoSuchBook` where there is
 * none, and with the browser's own fault where its storage can't be read.
 */
export async function openBook(id: string): Promise<OpenBook> {
  const opening = opened.get(id) ?? readLive(id);
  opened.set(id, opening);
  try {
    return (await opening).open;
  } catch (fault) {
    if (opened.get(id) === opening) opened.delete(id);
    throw fault;
  }
}

/** The book, where it is open already; undefined while it is not. */
export const openNow = (id: string): OpenBook | undefined => live.get(id)?.open;

/** An empty book of an id that is new. It is on this device with its first entry. */
export function startBook(id: string): OpenBook {
  const made = makeLive(id, []);
  opened.set(id, Promise.resolve(made));
  return made.open;
}

/** Shows on every page what was brought to disk by other ways than `write`. */
export function tellStored(id: string, entries: readonly Entry[]): void {
  live.get(id)?.hear(entries);
  tellChange({ document: id, entries });
}

/** Erases a book for good, its photos too where no other book has them. */
export async function eraseBook(id: string): Promise<void> {
  await entriesStore.erase(id);
  forget(id);
  tellChange({ document: id, entries: [], erased: true });
}

function forget(id: string): void {
  opened.delete(id);
  live.delete(id);
}

onNews(({ document, entries, erased }) => {
  if (erased === true) {
    forget(document);
    // A part of the copy that this page holds open could not be removed by the other.
    void eraseBookCopy(document);
  } else live.get(document)?.hear(entries);
});

const unsaved = (): boolean =>
  [...live.values()].some(({ open }) => open.saving().state !== 'saved');

/** Hears what was written while this page was put away by the browser. */
function catchUp(): void {
  for (const [id, { hear }] of live) void entriesStore.read(id).then(hear, () => undefined);
}

if (typeof window !== 'undefined') {
  const retryAll = (): void => {
    for (const { open } of live.values()) open.retry();
  };
  document.addEventListener('visibilitychange', retryAll);
  // Before the screens hear of it and write what was being typed.
  window.addEventListener('pagehide', () => (left = true), { capture: true });
  window.addEventListener('pagehide', retryAll);
  window.addEventListener('pageshow', ({ persisted }) => {
    left = false;
    if (persisted) catchUp();
  });
  window.addEventListener('beforeunload', (event) => {
    if (unsaved()) event.preventDefault();
  });
}
