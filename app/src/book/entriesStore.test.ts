import 'fake-indexeddb/auto';
import { shelfCases } from '@fairbed/notebook/shelf.cases';
import { createBook, createPen, type Entry } from '@fairbed/notebook';
import { recordKinds, scoreThing } from '@fairbed/trial';
import { deleteDB } from 'idb';
import { beforeEach, describe, expect, it } from 'vitest';
import { databaseName, forgetConnection, onBooks } from './database';
import { entriesStore, rollTail } from './entriesStore';

const scores = (writer: string, from: number, to: number): readonly Entry[] => {
  const book = createBook(recordKinds);
  const pen = createPen({ writer, who: () => 'Ada', now: () => 1_780_000_000_000, book });
  for (let n = 1; n <= to; n++) {
    const thing = scoreThing({ round: 'r1', plot: `${n % 30}`, plant: `${n}`, field: 'standing' });
    pen.write('score', thing, n % 17);
  }
  return book.entries().slice(from);
};

const stored = async (document: string): Promise<readonly Entry[]> =>
  ((await entriesStore.read(document)) as Entry[]).toSorted((a, b) => (a.clock < b.clock ? -1 : 1));

const counts = (): Promise<{ tail: number; chunks: number }> =>
  onBooks(async (db) => ({ tail: await db.count('tail'), chunks: await db.count('chunks') }));

beforeEach(async () => {
  await forgetConnection();
  await deleteDB(databaseName);
});

describe('entries in the browser', () => {
  it.each(
    shelfCases(() =>
      Promise.resolve({
        open: async () => {
          await forgetConnection();
          return entriesStore;
        },
        discard: forgetConnection,
      }),
    ),
  )('$name', ({ run }) => run());
});

describe('the tail of a book', () => {
  it('stays as it is while it is short', async () => {
    await entriesStore.append('a', scores('w1', 0, 50));
    expect(await rollTail('a')).toBe(false);
    expect(await counts()).toEqual({ tail: 50, chunks: 0 });
  });

  it('is rolled into a chunk, with nothing lost and nothing twice', async () => {
    const entries = scores('w1', 0, 250);
    for (const entry of entries) await entriesStore.append('a', [entry]);
    expect(await rollTail('a')).toBe(true);
    expect((await counts()).tail).toBe(0);
    expect(await stored('a')).toEqual(entries);
    await entriesStore.append('a', entries.slice(100, 120));
    expect(await stored('a')).toEqual(entries);
  });

  it('leaves the books beside it alone', async () => {
    await entriesStore.append('a', scores('w1', 0, 99));
    await entriesStore.append('a', scores('w2', 0, 101));
    await entriesStore.append('ab', scores('w3', 0, 20));
    await rollTail('a');
    expect(await stored('ab')).toEqual(scores('w3', 0, 20));
    await entriesStore.erase('a');
    expect(await stored('a')).toEqual([]);
    expect(await stored('ab')).toEqual(scores('w3', 0, 20));
    expect(await entriesStore.documents()).toEqual(['ab']);
  });

  it('goes into chunks at once where many entries come together', async () => {
    const entries = scores('w1', 0, 1000);
    await entriesStore.append('a', entries.slice(0, 30));
    await entriesStore.append('a', entries.slice(30));
    expect((await counts()).tail).toBe(0);
    expect((await counts()).chunks).toBeGreaterThan(4);
    expect(await stored('a')).toEqual(entries);
  });

  it('keeps what was written first under an id, wherever it lies', async () => {
    const [first] = scores('w1', 0, 1) as [Entry];
    const other: Entry = { ...first, value: 99 };
    await entriesStore.append('a', [first]);
    await entriesStore.append('a', [other]);
    expect(await stored('a')).toEqual([first]);
    await entriesStore.append('a', scores('w2', 0, 300));
    await entriesStore.append('a', [other]);
    expect((await stored('a')).filter(({ id }) => id === first.id)).toEqual([first]);
  });

  it('can be read while two pages write and roll at once', async () => {
    const pages = ['w1', 'w2'].map((writer) => scores(writer, 0, 240));
    const done = new Set<string>();
    const write = async (entries: readonly Entry[]): Promise<void> => {
      for (const entry of entries) {
        await entriesStore.append('a', [entry]);
        done.add(entry.id);
        if (done.size % 60 === 0) await rollTail('a');
      }
    };
    const look = async (): Promise<void> => {
      while (done.size < 480) {
        const before = [...done];
        const there = new Set((await stored('a')).map(({ id }) => id));
        expect(before.filter((id) => !there.has(id))).toEqual([]);
      }
    };
    await Promise.all([...pages.map(write), look()]);
    const whole = await stored('a');
    expect(whole).toHaveLength(480);
    expect((await counts()).chunks).toBeGreaterThan(1);
  });
});

// A seed, so that a run that fails can be run again.
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) | 0;
    return (state >>> 8) / 2 ** 24;
  };
}

describe('a page killed at any moment', () => {
  it.each([1, 2, 3, 4])('loses nothing whose write had settled (seed %i)', async (seed) => {
    const random = chance(seed);
    const entries = scores('w1', 0, 450);
    const settled: Entry[] = [];
    let at = 0;
    while (at < entries.length) {
      // A killed page takes its running transactions with it: they are undone, not half done.
      const killAfter = Math.floor(random() * 12);
      const undo = await killTransactions(killAfter);
      try {
        while (at < entries.length) {
          const size = 1 + Math.floor(random() * (random() < 0.1 ? 150 : 8));
          const batch = entries.slice(at, at + size);
          await entriesStore.append('a', batch);
          settled.push(...batch);
          at += size;
          if (random() < 0.3) await rollTail('a');
        }
      } catch {
        // Killed. The next round opens the database as a new page would.
      }
      undo();
      await forgetConnection();
      const there = new Map((await stored('a')).map((entry) => [entry.id, entry]));
      for (const entry of settled) expect(there.get(entry.id)).toEqual(entry);
      expect((await stored('a')).length).toBeLessThanOrEqual(entries.length);
    }
    expect(await stored('a')).toEqual(entries);
  });
});

/** Aborts the transaction in which the `after`-th request from now on is made, and all after it. */
async function killTransactions(after: number): Promise<() => void> {
  await Promise.resolve();
  let left = after;
  const { prototype } = IDBObjectStore;
  const original = <K extends 'add' | 'delete'>(name: K) =>
    Object.getOwnPropertyDescriptor(prototype, name)?.value as IDBObjectStore[K];
  const add = original('add');
  const remove = original('delete');
  const kill = (store: IDBObjectStore): void => {
    left -= 1;
    if (left < 0) store.transaction.abort();
  };
  IDBObjectStore.prototype.add = function (this: IDBObjectStore, ...args) {
    kill(this);
    return add.apply(this, args);
  };
  IDBObjectStore.prototype.delete = function (this: IDBObjectStore, ...args) {
    kill(this);
    return remove.apply(this, args);
  };
  return () => {
    IDBObjectStore.prototype.add = add;
    IDBObjectStore.prototype.delete = remove;
  };
}
