import { clockText } from './clock';
import { byClock, type Entry, isProblem, readEntry, sameEntry } from './entry';
import type { Json } from './json';
import type { EntryStore } from './store';

/** One place where entries are kept, that can be opened again and again. */
export type Shelf = {
  /** Opens the store over all that was stored before, as a page does that was closed. */
  readonly open: () => Promise<EntryStore>;
  /** Closes what was opened and empties the place. */
  readonly discard: () => Promise<void>;
};

/** One demand on every store; `run` rejects with a sentence where it is not met. */
export type ShelfCase = { readonly name: string; readonly run: () => Promise<void> };

const START = 1_790_000_000_000;

const entryOf = (n: number, value: Json, writer = 'w1'): Entry => ({
  id: `${writer}.${n.toString(36)}`,
  clock: clockText({ ms: START + n, counter: 0 }, writer),
  who: 'Ada',
  kind: 'score',
  thing: `r1/B${n}`,
  value,
  replaces: n > 1 ? [`${writer}.${(n - 1).toString(36)}`] : [],
});

const entriesFrom = (first: number, count: number, writer = 'w1'): readonly Entry[] =>
  Array.from({ length: count }, (_, i) => entryOf(first + i, i, writer));

function demand(met: boolean, sentence: string): void {
  if (!met) throw new Error(sentence);
}

async function holds(store: EntryStore, document: string, wanted: readonly Entry[]): Promise<void> {
  const read = (await store.read(document)).map(readEntry);
  for (const entry of read) if (isProblem(entry)) throw new Error(`read back: ${entry.what}`);
  const got = read.filter((entry): entry is Entry => !isProblem(entry)).sort(byClock);
  demand(
    got.length === wanted.length,
    `${document}: wanted ${wanted.length} entries, read ${got.length}`,
  );
  for (const [i, entry] of wanted.toSorted(byClock).entries()) {
    const other = got[i];
    if (other !== undefined && sameEntry(entry, other)) continue;
    throw new Error(`${document}: stored ${JSON.stringify(entry)}, read ${JSON.stringify(other)}`);
  }
}

async function lists(store: EntryStore, wanted: readonly string[]): Promise<void> {
  const got = [...(await store.documents())].sort();
  const same = JSON.stringify(got) === JSON.stringify([...wanted].sort());
  demand(same, `wanted the documents ${wanted.join(', ')}, got ${got.join(', ')}`);
}

const VALUES: readonly Json[] = [
  null,
  false,
  0,
  -7.25,
  1e21,
  0.1,
  '',
  'Brönnimann, "leaf 3"\nsecond line; 7 \u2212 2 \u{1F331}',
  [],
  {},
  [[1, [null]], { '': 1, 1: 2, constructor: 'c', deep: { er: ['x', { y: false }] } }],
];

type Demand = (shelf: Shelf) => Promise<void>;

const KEEPING: Readonly<Record<string, Demand>> = {
  'is empty when new': async ({ open }) => {
    const store = await open();
    await lists(store, []);
    await holds(store, 'bed', []);
  },
  'gives every field and value back as it was': async ({ open }) => {
    const store = await open();
    const entries = VALUES.map((value, i) => ({ ...entryOf(i + 1, value), at: START - i }));
    await store.append('bed', entries);
    await holds(store, 'bed', entries);
  },
  'still has it when opened anew, once append has settled': async ({ open }) => {
    const entries = entriesFrom(1, 5);
    await (await open()).append('bed', entries);
    const again = await open();
    await lists(again, ['bed']);
    await holds(again, 'bed', entries);
  },
  'adds to what is there': async ({ open }) => {
    const store = await open();
    for (const entry of entriesFrom(1, 4)) await store.append('bed', [entry]);
    await holds(store, 'bed', entriesFrom(1, 4));
  },
  'keeps 3,000 entries of one append': async ({ open }) => {
    const entries = entriesFrom(1, 3_000);
    await (await open()).append('bed', entries);
    await holds(await open(), 'bed', entries);
  },
};

const REPEATING: Readonly<Record<string, Demand>> = {
  'keeps an entry once, however often it is appended': async ({ open }) => {
    const store = await open();
    const entries = entriesFrom(1, 3);
    await store.append('bed', entries);
    await store.append('bed', [...entries.toReversed(), entryOf(4, 0)]);
    await store.append('bed', [entryOf(5, 0), entryOf(5, 0)]);
    await holds(store, 'bed', [...entries, entryOf(4, 0), entryOf(5, 0)]);
  },
  'leaves an id that is there as it is': async ({ open }) => {
    const store = await open();
    await store.append('bed', [entryOf(1, 'first')]);
    await store.append('bed', [entryOf(1, 'second'), entryOf(2, 'new')]);
    await holds(await open(), 'bed', [entryOf(1, 'first'), entryOf(2, 'new')]);
  },
  'keeps nothing of an append that fails': async ({ open }) => {
    const store = await open();
    await store.append('bed', [entryOf(1, 'before')]);
    const trap = {
      ...entryOf(3, 0),
      get value(): Json {
        throw new Error('can not be read');
      },
    };
    const settled = await Promise.allSettled([
      Promise.resolve().then(() => store.append('bed', [entryOf(2, 'with it'), trap])),
    ]);
    demand(settled[0].status === 'rejected', 'an entry that can not be stored was accepted');
    await holds(await open(), 'bed', [entryOf(1, 'before')]);
  },
  'is not altered through an entry that was passed in or read': async ({ open }) => {
    const store = await open();
    const value: { n: number } = { n: 1 };
    await store.append('bed', [entryOf(1, value)]);
    value.n = 2;
    const [read] = (await store.read('bed')) as { value: Json }[];
    if (read !== undefined && !Object.isFrozen(read)) read.value = 'altered';
    await holds(store, 'bed', [entryOf(1, { n: 1 })]);
  },
};

const PARTING: Readonly<Record<string, Demand>> = {
  'keeps documents apart, whatever their ids': async ({ open }) => {
    const store = await open();
    const ids = ['bed', 'bed1', 'bed/1', 'Bed', '__proto__', 'béd \u{1F331}', '1'];
    for (const [i, id] of ids.entries()) await store.append(id, [entryOf(1, i)]);
    await lists(await open(), ids);
    for (const [i, id] of ids.entries()) await holds(store, id, [entryOf(1, i)]);
  },
  'makes no document of an append of nothing': async ({ open }) => {
    const store = await open();
    await store.append('bed', []);
    await lists(store, []);
  },
  'erases one document and no other': async ({ open }) => {
    const store = await open();
    await store.append('bed', entriesFrom(1, 3));
    await store.append('bed2', entriesFrom(1, 2));
    await store.erase('bed');
    await store.erase('never there');
    await lists(await open(), ['bed2']);
    await holds(store, 'bed', []);
    await holds(store, 'bed2', entriesFrom(1, 2));
  },
  'takes entries for a document that was erased': async ({ open }) => {
    const store = await open();
    await store.append('bed', entriesFrom(1, 3));
    await store.erase('bed');
    await store.append('bed', [entryOf(1, 'anew')]);
    await holds(await open(), 'bed', [entryOf(1, 'anew')]);
  },
  'loses none of many appends at once': async ({ open }) => {
    const store = await open();
    const entries = entriesFrom(1, 60);
    await Promise.all(entries.map((entry) => store.append('bed', [entry])));
    await holds(store, 'bed', entries);
  },
  'loses none of two that append at once': async ({ open }) => {
    const [one, two] = [await open(), await open()];
    const [a, b] = [entriesFrom(1, 20, 'w1'), entriesFrom(1, 20, 'w2')];
    await Promise.all([
      ...a.map((entry) => one.append('bed', [entry])),
      ...b.map((entry) => two.append('bed', [entry, entryOf(1, 0, 'w1')])),
    ]);
    await holds(await open(), 'bed', [...a, ...b]);
  },
};

/**
 * What every store must do, as cases that any test runner can run: `make` gives an empty place
 * each time. Compares with what {@link readEntry} makes of what was read.
 */
export function shelfCases(make: () => Promise<Shelf>): readonly ShelfCase[] {
  return Object.entries({ ...KEEPING, ...REPEATING, ...PARTING }).map(([name, meet]) => ({
    name,
    run: async () => {
      const shelf = await make();
      try {
        await meet(shelf);
      } finally {
        await shelf.discard();
      }
    },
  }));
}
