import type { Trial } from '@fairbed/trial';
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import { without } from '../writable';
import { copyShelf, eraseShelfCopy } from '../book/secondCopy';
import type { Card, Summary } from './card';

type ShelfSchema = DBSchema & {
  cards: { key: string; value: Card };
  trials: { key: string; value: Trial };
  summaries: { key: string; value: Summary };
  mappings: { key: string; value: unknown };
};

let opening: Promise<IDBPDatabase<ShelfSchema>> | undefined;

/** Makes the stores that are not there. */
function makeStores(db: IDBPDatabase<ShelfSchema>): void {
  const has = db.objectStoreNames;
  if (!has.contains('cards')) db.createObjectStore('cards', { keyPath: 'id' });
  if (!has.contains('trials')) db.createObjectStore('trials');
  if (!has.contains('summaries')) db.createObjectStore('summaries');
  if (!has.contains('mappings')) db.createObjectStore('mappings');
}

function openShelf(): Promise<IDBPDatabase<ShelfSchema>> {
  opening ??= openDB<ShelfSchema>('fairbed', 2, {
    upgrade: makeStores,
    // A newer version in another tab must not wait for this one.
    blocking(_current, _blocked, event) {
      (event.target as IDBDatabase).close();
      opening = undefined;
    },
    terminated() {
      opening = undefined;
    },
  })
    .then(async (db) => {
      // New here, or thrown away by a browser that found its own files damaged.
      if ((await db.count('cards')) === 0) await bringShelfBack(db).catch(() => undefined);
      return db;
    })
    .catch((fault: unknown) => {
      opening = undefined;
      throw fault;
    });
  return opening;
}

/** All trials of the shelf in one transaction, or none. */
async function bringShelfBack(db: IDBPDatabase<ShelfSchema>): Promise<void> {
  const { shelfLines } = await import('../book/bringBack');
  const lines = await shelfLines();
  if (lines.size === 0) return;
  const tx = db.transaction(['cards', 'trials'], 'readwrite', { durability: 'strict' });
  for (const list of lines.values()) {
    const { card, trial } = Object.assign({}, ...list) as { card?: Card; trial?: Trial };
    if (card === undefined || trial === undefined) continue;
    void tx.objectStore('cards').put(card);
    void tx.objectStore('trials').put(trial, card.id);
  }
  await tx.done;
}

const channelName = 'fairbed-shelf';
const channel =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel(channelName);
const listeners = new Set<() => void>();
channel?.addEventListener('message', () => {
  for (const tell of listeners) tell();
});

function tellAll(): void {
  channel?.postMessage('changed');
  for (const tell of listeners) tell();
}

/** Calls `tell` whenever the shelf changes, in this tab or another. Returns how to stop. */
export function onShelfChange(tell: () => void): () => void {
  listeners.add(tell);
  return () => {
    listeners.delete(tell);
  };
}

/** Every card, removed ones too; newest first. */
export async function readCards(): Promise<readonly Card[]> {
  const cards = await (await openShelf()).getAll('cards');
  return cards.sort((a, b) => b.addedAt - a.addedAt);
}

/** The trial of that id, or undefined when this device has none. */
export const readStoredTrial = async (id: string): Promise<Trial | undefined> =>
  (await openShelf()).get('trials', id);

/**
 * Stores a trial and its card together. The promise settles once the browser says that both are
 * on disk (`durability: 'strict'`), so only then may a screen say "saved".
 */
export async function keepTrial(trial: Trial, card: Card): Promise<void> {
  const db = await openShelf();
  const tx = db.transaction(['cards', 'trials'], 'readwrite', { durability: 'strict' });
  await Promise.all([
    tx.objectStore('cards').put(card),
    tx.objectStore('trials').put(trial, card.id),
    tx.done,
  ]);
  await copyShelf(card.id, { card, trial });
  tellAll();
  // Asks the browser not to clear the shelf when space runs short; it may say no.
  if ('storage' in navigator) void navigator.storage.persist().catch(() => false);
}

/**
 * Changes a stored trial; settles once it is on disk. What its verdict said before is forgotten
 * with it, so that a card never shows an answer to another trial.
 */
export async function changeTrial(id: string, change: (trial: Trial) => Trial): Promise<void> {
  const db = await openShelf();
  const tx = db.transaction(['trials', 'summaries'], 'readwrite', { durability: 'strict' });
  const trials = tx.objectStore('trials');
  const trial = await trials.get(id);
  if (!trial) {
    await tx.done;
    throw new Error('The trial is no longer on this device.');
  }
  const changed = change(trial);
  await Promise.all([trials.put(changed, id), tx.objectStore('summaries').delete(id), tx.done]);
  await copyShelf(id, { trial: changed });
  tellAll();
}

async function changeCard(id: string, change: (card: Card) => Card): Promise<void> {
  const db = await openShelf();
  const tx = db.transaction('cards', 'readwrite', { durability: 'strict' });
  const card = await tx.store.get(id);
  const changed = card && change(card);
  if (changed) await tx.store.put(changed);
  await tx.done;
  if (changed) await copyShelf(id, { card: changed });
  tellAll();
}

/** Takes a trial off the shelf. It stays on the device until it is erased. */
export const removeTrial = (id: string, now: number): Promise<void> =>
  changeCard(id, (card) => ({ ...card, removedAt: now }));

/** Puts a removed trial back where it stood. */
export const putBack = (id: string): Promise<void> =>
  changeCard(id, (card) => without(card, 'removedAt'));

/** What the verdict page last said of each trial, by the trial's id; the demos' too. */
export async function readSummaries(): Promise<ReadonlyMap<string, Summary>> {
  const tx = (await openShelf()).transaction('summaries');
  const [ids, summaries] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
  return new Map(ids.flatMap((id, i) => (summaries[i] ? [[id, summaries[i]] as const] : [])));
}

/** Trials whose summary is gone, so that it is not taken away again with every value entered. */
const dropped = new Set<string>();

/** Forgets what was said of a trial that has changed since. */
export async function dropSummary(id: string): Promise<void> {
  if (dropped.has(id)) return;
  await (await openShelf()).delete('summaries', id);
  dropped.add(id);
  tellAll();
}

/** Keeps what a verdict page said of a trial, for its card. */
export async function summarise(id: string, summary: Summary): Promise<void> {
  dropped.delete(id);
  await (await openShelf()).put('summaries', summary, id);
  tellAll();
}

/** Erases a removed trial for good. */
export async function eraseTrial(id: string): Promise<void> {
  // First: what is erased for good must not come back.
  await eraseShelfCopy(id);
  const db = await openShelf();
  const stores = ['cards', 'trials', 'summaries'] as const;
  const tx = db.transaction(stores, 'readwrite', { durability: 'strict' });
  await Promise.all([
    tx.objectStore('cards').delete(id),
    tx.objectStore('trials').delete(id),
    tx.objectStore('summaries').delete(id),
    tx.done,
  ]);
  tellAll();
}

/** What the columns of a sheet with these headings meant the last time; undefined when new. */
export const readMapping = async (key: string): Promise<unknown> =>
  (await openShelf()).get('mappings', key);

/** Remembers what the columns of a sheet with these headings mean. */
export async function keepMapping(key: string, mapping: unknown): Promise<void> {
  await (await openShelf()).put('mappings', mapping, key);
}
