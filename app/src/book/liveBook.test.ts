import { type Entry, EntryRefused, memoryStore } from '@fairbed/notebook';
import { scoreThing } from '@fairbed/trial';
import { describe, expect, it, vi } from 'vitest';
import { liveBook, type LiveBook } from './liveBook';

const standing = scoreThing({ round: 'r1', plot: '101', plant: '3', field: 'standing' });
const diseased = scoreThing({ round: 'r1', plot: '101', plant: '3', field: 'diseased' });

type Setting = {
  readonly append?: (document: string, entries: readonly Entry[]) => Promise<void>;
  readonly writer?: string;
  readonly entries?: readonly unknown[];
  readonly isLeaving?: () => boolean;
};

function setUp({ append, writer = 'w1', entries = [], isLeaving = () => false }: Setting = {}) {
  const store = memoryStore();
  const onUnsaved = vi.fn<(list: readonly Entry[]) => void>();
  const saved: Entry[] = [];
  const made: LiveBook = liveBook('t', entries, {
    store: append === undefined ? store : { append },
    writer,
    now: () => 1_780_000_000_000,
    onSaved: (list) => saved.push(...list),
    isLeaving,
    onUnsaved,
  });
  return { ...made, store, saved, onUnsaved };
}

describe('writing', () => {
  it('shows at once and settles when it is stored', async () => {
    const { open, store, saved } = setUp();
    const seen: unknown[] = [];
    open.subscribe(['score', standing], () => seen.push(open.book.current('score', standing)));
    const written = open.write('score', standing, 9);
    expect(open.book.current('score', standing)).toBe(9);
    expect(seen).toEqual([9]);
    expect(open.saving()).toEqual({ state: 'saving', waiting: 1 });
    await written;
    expect(open.saving()).toEqual({ state: 'saved' });
    expect(await store.read('t')).toEqual(open.book.entries());
    expect(saved).toEqual(open.book.entries());
  });

  it('puts what is written while the page goes aside at once, until it is stored', async () => {
    const { open, onUnsaved } = setUp({ isLeaving: () => true });
    const written = open.write('score', standing, 9);
    expect(onUnsaved.mock.lastCall?.[0]).toEqual(open.book.entries());
    await written;
    expect(onUnsaved.mock.lastCall?.[0]).toEqual([]);
  });

  it('tells only who listens to the thing, the kind or all', async () => {
    const { open } = setUp();
    const told: string[] = [];
    open.subscribe('all', () => told.push('all'));
    open.subscribe(['score'], () => told.push('score'));
    open.subscribe(['score', diseased], () => told.push('diseased'));
    const stop = open.subscribe(['plan'], () => told.push('plan'));
    await open.write('score', standing, 9);
    expect(told.toSorted()).toEqual(['all', 'score']);
    await open.write('plan', 'title', 'Two waters');
    expect(told).toContain('plan');
    stop();
    told.length = 0;
    await open.write('plan', 'title', 'Three waters');
    expect(told).toEqual(['all']);
  });

  it('writes nothing where the same stands already', async () => {
    const { open } = setUp();
    await open.write('score', standing, 9);
    await open.write('score', standing, 9);
    expect(open.book.size()).toBe(1);
    await open.write('score', standing, 10);
    expect(open.book.history('score', standing).map(({ value }) => value)).toEqual([9, 10]);
  });

  it('writes the same again where two clash, which settles it', async () => {
    const one = setUp();
    const two = setUp({ writer: 'w2' });
    await one.open.write('score', standing, 9);
    await two.open.write('score', standing, 8);
    await one.open.takeIn(two.open.book.entries());
    expect(one.open.book.clashes()).toHaveLength(1);
    const now = one.open.book.current('score', standing) ?? null;
    await one.open.write('score', standing, now);
    expect(one.open.book.clashes()).toEqual([]);
    expect(one.open.book.current('score', standing)).toBe(now);
  });

  it('refuses a value of the wrong kind whole, and says why', async () => {
    const { open } = setUp();
    const both = [
      { kind: 'score', thing: standing, value: 9 },
      { kind: 'score', thing: diseased, value: -1 },
    ];
    await expect(open.writeAll(both)).rejects.toThrow(EntryRefused);
    expect(open.book.size()).toBe(0);
    expect(open.saving()).toEqual({ state: 'saved' });
  });
});

describe('undo', () => {
  it('takes back steps, latest first, and does them again', async () => {
    const { open, store } = setUp();
    expect(await open.undo()).toEqual([]);
    await open.write('score', standing, 9);
    await open.write('score', standing, 10);
    await open.writeAll([
      { kind: 'score', thing: standing, value: 11 },
      { kind: 'score', thing: diseased, value: 2 },
    ]);
    expect(open.steps().undo?.map(({ value }) => value)).toEqual([11, 2]);
    await open.undo();
    expect(open.book.current('score', standing)).toBe(10);
    expect(open.book.current('score', diseased)).toBeUndefined();
    await open.undo();
    expect(open.book.current('score', standing)).toBe(9);
    await open.redo();
    expect(open.book.current('score', standing)).toBe(10);
    await open.redo();
    expect(open.book.current('score', standing)).toBe(11);
    expect(open.book.current('score', diseased)).toBe(2);
    expect(open.steps().redo).toBeUndefined();
    await open.undo();
    await open.undo();
    await open.undo();
    expect(open.book.current('score', standing)).toBeUndefined();
    expect(await open.undo()).toEqual([]);
    // Nothing is ever removed.
    expect(open.book.history('score', standing).length).toBe(10);
    expect(await store.read('t')).toHaveLength(open.book.size());
  });

  it('leaves alone what somebody else has written over', async () => {
    const one = setUp();
    const two = setUp({ writer: 'w2' });
    await one.open.write('score', diseased, 1);
    await one.open.write('score', standing, 9);
    await two.open.takeIn(one.open.book.entries());
    await two.open.write('score', standing, 7);
    one.hear(two.open.book.entries());
    await one.open.undo();
    expect(one.open.book.current('score', standing)).toBe(7);
    expect(one.open.book.current('score', diseased)).toBeUndefined();
  });

  it('does not go back on what was written for good', async () => {
    const { open, store } = setUp();
    await open.write('score', standing, 9);
    await open.writeForGood([{ kind: 'reveal', thing: 'reveal', value: { day: '2026-08-01' } }]);
    await open.undo();
    expect(await open.undo()).toEqual([]);
    expect(open.book.current('score', standing)).toBeUndefined();
    expect(open.book.current('reveal', 'reveal')).toEqual({ day: '2026-08-01' });
    expect(await store.read('t')).toHaveLength(3);
  });

  it('forgets what was taken back once something new is written', async () => {
    const { open } = setUp();
    await open.write('score', standing, 9);
    await open.undo();
    expect(open.steps().redo).toHaveLength(1);
    await open.write('score', diseased, 1);
    expect(open.steps().redo).toBeUndefined();
    expect(await open.redo()).toEqual([]);
  });
});

describe('a store that does not keep', () => {
  it('is tried again, in order, until everything is there', async () => {
    vi.useFakeTimers();
    try {
      const store = memoryStore();
      let room = false;
      const append = (document: string, list: readonly Entry[]): Promise<void> =>
        room
          ? store.append(document, list)
          : Promise.reject(new DOMException('No room.', 'QuotaExceededError'));
      const { open, onUnsaved, saved } = setUp({ append });
      let settled = 0;
      const states: string[] = [];
      open.onSaving(() => states.push(open.saving().state));
      for (const value of [9, 10]) void open.write('score', standing, value).then(() => settled++);
      await vi.advanceTimersByTimeAsync(100);
      expect(open.saving()).toMatchObject({
        state: 'failed',
        waiting: 2,
        what: expect.stringContaining('no room'),
      });
      expect(onUnsaved.mock.lastCall?.[0]).toEqual(open.book.entries());
      void open.write('score', diseased, 1).then(() => settled++);
      await vi.advanceTimersByTimeAsync(60_000);
      expect(open.saving()).toMatchObject({ state: 'failed', waiting: 3 });
      expect(settled).toBe(0);
      room = true;
      await vi.advanceTimersByTimeAsync(31_000);
      expect(open.saving()).toEqual({ state: 'saved' });
      expect(settled).toBe(3);
      expect(await store.read('t')).toEqual(open.book.entries());
      expect(saved).toEqual(open.book.entries());
      expect(onUnsaved.mock.lastCall?.[0]).toEqual([]);
      expect(states.at(-1)).toBe('saved');
    } finally {
      vi.useRealTimers();
    }
  });
});

describe('what comes from elsewhere', () => {
  it('is added once, and kept where it comes from a file', async () => {
    const one = setUp();
    await one.open.write('score', standing, 9);
    const two = setUp({ writer: 'w2' });
    expect(await two.open.takeIn(one.open.book.entries())).toHaveLength(1);
    expect(await two.open.takeIn(one.open.book.entries())).toEqual([]);
    expect(await two.store.read('t')).toEqual(one.open.book.entries());
  });

  it('is shown and not stored again where another page has stored it', async () => {
    const one = setUp();
    await one.open.write('score', standing, 9);
    const two = setUp({ writer: 'w2' });
    const told = vi.fn<() => void>();
    two.open.subscribe(['score', standing], told);
    two.hear(one.open.book.entries());
    two.hear(one.open.book.entries());
    expect(told).toHaveBeenCalledTimes(1);
    expect(two.open.book.current('score', standing)).toBe(9);
    expect(await two.store.read('t')).toEqual([]);
  });

  it('is said to be damaged where it is, and leaves the rest', () => {
    const { open } = setUp({ entries: ['{"id": "w', { id: 3 }] });
    expect(open.problems()).toHaveLength(2);
    expect(open.book.size()).toBe(0);
  });
});

describe('the history of a plant', () => {
  it('holds all of its scores and no others, as they come', async () => {
    const { open } = setUp();
    const at = (plot: string, plant: string, round = 'r1') =>
      scoreThing({ round, plot, ...(plant === '' ? {} : { plant }), field: 'standing' });
    await open.write('score', at('1/0', '3'), 9);
    await open.write('score', at('1', '0'), 5);
    expect(open.plantHistory('1/0', '3').map(({ value }) => value)).toEqual([9]);
    await open.write('score', at('1/0', '3', 'r2'), 8);
    await open.write('score', at('1/0', '3'), null);
    await open.write('score', at('1/0', ''), 30);
    expect(open.plantHistory('1/0', '3').map(({ value }) => value)).toEqual([9, 8, null]);
    expect(open.plantHistory('1/0').map(({ value }) => value)).toEqual([30]);
    expect(open.plantHistory('1', '0').map(({ value }) => value)).toEqual([5]);
    expect(open.plantHistory('2', '0')).toEqual([]);
  });
});

describe('the trial', () => {
  it('is folded anew only when an entry has come', async () => {
    const { open } = setUp();
    await open.write('plan', 'title', 'Two waters');
    const first = open.trial();
    expect(first.title).toBe('Two waters');
    expect(open.trial()).toBe(first);
    await open.write('plan', 'title', 'Three waters');
    expect(open.trial().title).toBe('Three waters');
  });
});
