import { describe, expect, it } from 'vitest';
import type { Entry } from './entry';
import { type Shelf, shelfCases } from './shelf.cases';
import { type EntryStore, memoryStore } from './store';

const shelfOf = (store: EntryStore): Shelf => ({
  open: () => Promise.resolve(store),
  discard: () => Promise.resolve(),
});

describe('the store in memory', () => {
  it.each(shelfCases(() => Promise.resolve(shelfOf(memoryStore()))))('$name', ({ run }) => run());
});

/** A store with one fault, over a good one. */
type Spoil = (good: EntryStore) => Partial<EntryStore>;

const spoilt: readonly (readonly [fault: string, spoil: Spoil])[] = [
  ['forgets', () => ({ append: () => Promise.resolve() })],
  [
    'overwrites',
    (good) => ({
      append: async (document, entries) => {
        const fresh = new Set(entries.map(({ id }) => id));
        const kept = ((await good.read(document)) as Entry[]).filter(({ id }) => !fresh.has(id));
        await good.erase(document);
        await good.append(document, [...kept, ...entries]);
      },
    }),
  ],
  [
    'keeps half',
    (good) => ({
      append: async (document, entries) => {
        for (const entry of entries) await good.append(document, [entry]);
      },
    }),
  ],
  [
    'drops a field',
    (good) => ({
      append: (document, entries) =>
        good.append(
          document,
          entries.map((entry) => ({ ...entry, who: '' })),
        ),
    }),
  ],
  [
    'mixes documents',
    (good) => ({
      append: (document, entries) => good.append(document.slice(0, 3), entries),
      read: (document) => good.read(document.slice(0, 3)),
    }),
  ],
  ['erases nothing', () => ({ erase: () => Promise.resolve() })],
  [
    'lists what was erased',
    (good) => {
      const seen = new Set<string>();
      return {
        append: (document, entries) => {
          seen.add(document);
          return good.append(document, entries);
        },
        documents: () => Promise.resolve([...seen]),
      };
    },
  ],
];

describe('the suite', () => {
  it.each(spoilt)('finds a store that %s', async (_, spoil) => {
    const make = (): Promise<Shelf> => {
      const good = memoryStore();
      return Promise.resolve(shelfOf({ ...good, ...spoil(good) }));
    };
    const results = await Promise.allSettled(shelfCases(make).map(({ run }) => run()));
    expect(results.some(({ status }) => status === 'rejected')).toBe(true);
  });

  it('finds a store that hands out what it keeps', async () => {
    const kept = new Map<string, Map<string, Entry>>();
    const store: EntryStore = {
      documents: () => Promise.resolve([...kept.keys()]),
      read: (document) => Promise.resolve([...(kept.get(document)?.values() ?? [])]),
      append: (document, entries) => {
        const there = kept.get(document) ?? new Map<string, Entry>();
        for (const entry of entries) if (!there.has(entry.id)) there.set(entry.id, entry);
        kept.set(document, there);
        return Promise.resolve();
      },
      erase: (document) => {
        kept.delete(document);
        return Promise.resolve();
      },
    };
    const altered = shelfCases(() => Promise.resolve(shelfOf(store))).find(({ name }) =>
      name.startsWith('is not altered'),
    );
    await expect(altered?.run()).rejects.toThrow('stored');
  });
});
