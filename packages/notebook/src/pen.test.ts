import { describe, expect, it } from 'vitest';
import { createBook } from './book';
import { clockMs, clockText, isClock, LAST_BELIEVED_MS } from './clock';
import { type Entry, MOST_REPLACES, MOST_WHO } from './entry';
import type { Json } from './json';
import type { Kind } from './kind';
import { createPen, EntryRefused, type PenAt } from './pen';

const NOW = 1_790_000_000_000;
const score: Kind = {
  name: 'score',
  version: 1,
  read: (_, value) => (typeof value === 'number' ? undefined : 'a score is a number'),
};
const plan: Kind = { name: 'plan', version: 1, read: () => undefined };

const desk = (at: Partial<PenAt> = {}) => {
  const book = at.book ?? createBook([score, plan]);
  const pen = createPen({ writer: 'k3', who: () => 'Ada', now: () => NOW, book, ...at });
  return { book, pen };
};

const far = (n: number, ms: number): Entry => ({
  id: `far.${n}`,
  clock: clockText({ ms, counter: 0 }, 'far'),
  who: '',
  kind: 'score',
  thing: 'p1',
  value: n,
  replaces: [],
});

describe('write', () => {
  it('writes an entry that says all of itself', () => {
    const { book, pen } = desk();
    expect(pen.write('score', 'p1', 3)).toEqual({
      id: 'k3.1',
      clock: '0mubbs7i80000-k3',
      who: 'Ada',
      kind: 'score',
      thing: 'p1',
      value: 3,
      replaces: [],
    });
    expect(pen.write('score', 'p1', 4)).toMatchObject({
      id: 'k3.2',
      clock: '0mubbs7i80001-k3',
      replaces: ['k3.1'],
    });
    expect(book.size()).toBe(2);
  });

  it('numbers entries in base 36, and goes on where its writer had left off', () => {
    const { book, pen } = desk();
    const ids = Array.from({ length: 40 }, (_, i) => pen.write('score', `p${i}`, i).id);
    expect([ids[8], ids[9], ids[34], ids[35], ids[36]]).toEqual([
      'k3.9',
      'k3.a',
      'k3.z',
      'k3.10',
      'k3.11',
    ]);
    expect(desk({ book }).pen.write('score', 'p', 0).id).toBe('k3.15');
  });

  it('says what its own clock shows only where the ledger is ahead of it', () => {
    let now = NOW;
    const { book, pen } = desk({ now: () => now });
    expect('at' in pen.write('score', 'p1', 1)).toBe(false);
    now = NOW - 60_000;
    const behind = pen.write('score', 'p1', 2);
    expect(clockMs(behind.clock)).toBe(NOW);
    expect(behind.at).toBe(NOW - 60_000);
    now = NOW + 1;
    expect('at' in pen.write('score', 'p1', 3)).toBe(false);
    expect(book.current('score', 'p1')).toBe(3);
  });

  it('sorts later than a clock far in the future, and keeps the true time beside', () => {
    const { book, pen } = desk();
    for (const ms of [NOW + 3e9, LAST_BELIEVED_MS]) {
      book.add([far(1, ms)]);
      const entry = pen.write('score', 'p1', 7);
      expect(isClock(entry.clock)).toBe(true);
      expect(entry.at).toBe(NOW);
      expect(book.current('score', 'p1')).toBe(7);
      expect(book.clashes()).toEqual([]);
    }
  });

  it('does not carry an absurd clock of its own into the ledger', () => {
    const { book, pen } = desk({ now: () => 8e15 });
    const entry = pen.write('score', 'p1', 1);
    expect(clockMs(entry.clock)).toBe(0);
    expect(entry.at).toBe(8e15);
    const other = desk({ writer: 'k4' });
    other.book.add(book.entries());
    expect(clockMs(other.pen.write('score', 'p1', 2).clock)).toBe(NOW);
  });

  it('replaces every head, and the latest of too many', () => {
    const { book, pen } = desk();
    const heads = Array.from(
      { length: MOST_REPLACES + 5 },
      (_, i): Entry => ({
        ...far(1, NOW - 10_000 + i),
        id: `w${i}.1`,
        clock: clockText({ ms: NOW - 10_000 + i, counter: 0 }, `w${i}`),
      }),
    );
    book.add(heads);
    expect(book.heads('score', 'p1')).toHaveLength(MOST_REPLACES + 5);
    const { replaces } = pen.write('score', 'p1', 3);
    expect(replaces).toEqual(heads.slice(5).map(({ id }) => id));
  });

  it('cuts a name to what an entry holds', () => {
    const names = ['  Ada\n ', 'x'.repeat(200), `${'x'.repeat(MOST_WHO - 1)}\u{1F331}`, ''];
    const got = names.map((name) => desk({ who: () => name }).pen.write('score', 'p1', 1).who);
    expect(got).toEqual(['Ada', 'x'.repeat(MOST_WHO), 'x'.repeat(MOST_WHO - 1), '']);
  });

  it('refuses what the kind refuses, and writes nothing', () => {
    const { book, pen } = desk();
    expect(() => pen.write('score', 'p1', 'many')).toThrow(EntryRefused);
    expect(() => pen.write('score', 'p1', 'many')).toThrow('a score is a number');
    expect(() => pen.write('score', '', 1)).toThrow('not about a thing');
    expect(() => pen.write('scores', 'p1', 1)).toThrow('No kind called scores is registered.');
    expect(book.size()).toBe(0);
    expect(pen.write('score', 'p1', 1).id).toBe('k3.1');
  });
});

describe('writeAll', () => {
  it('writes all, a thing named twice being replaced by its second line', () => {
    const { book, pen } = desk();
    const entries = pen.writeAll([
      { kind: 'score', thing: 'p1', value: 1 },
      { kind: 'plan', thing: 'p1', value: 'x' },
      { kind: 'score', thing: 'p1', value: 2 },
    ]);
    expect(entries.map(({ replaces }) => replaces)).toEqual([[], [], ['k3.1']]);
    expect(new Set(entries.map(({ clock }) => clock)).size).toBe(3);
    expect(book.current('score', 'p1')).toBe(2);
    expect(book.clashes()).toEqual([]);
  });

  it('writes none where one is refused', () => {
    const { book, pen } = desk();
    const lines = [1, 2, 'three', 4].map((value) => ({ kind: 'score', thing: 'p1', value }));
    expect(() => pen.writeAll(lines)).toThrow(EntryRefused);
    expect(book.size()).toBe(0);
  });

  it('writes nothing of nothing', () => {
    expect(desk().pen.writeAll([])).toEqual([]);
  });
});

describe('takeBack', () => {
  const chain = (values: readonly Json[]) => {
    const { book, pen } = desk();
    const entries = values.map((value) => pen.write('score', 'p1', value));
    return { book, pen, entries };
  };

  it('writes what stood before, and keeps all in the history', () => {
    const { book, pen, entries } = chain([3, 4]);
    const back = pen.takeBack(entries[1]);
    expect(back).toMatchObject({ value: 3, replaces: ['k3.2'] });
    expect(book.history('score', 'p1').map(({ value }) => value)).toEqual([3, 4, 3]);
  });

  it('writes no value where nothing stood before', () => {
    const { book, pen, entries } = chain([3]);
    expect(pen.takeBack(entries[0]).value).toBeNull();
    expect(book.current('score', 'p1')).toBeUndefined();
  });

  it('taken back itself, it does again', () => {
    const { book, pen, entries } = chain([3, 4]);
    pen.takeBack(pen.takeBack(entries[1]));
    expect(book.current('score', 'p1')).toBe(4);
    pen.takeBack(pen.takeBack(pen.write('score', 'p1', null)));
    expect(book.current('score', 'p1')).toBeUndefined();
  });

  it('of an entry that settled a clash writes the later of the two', () => {
    const { book, pen } = desk();
    book.add([
      far(1, NOW - 5),
      {
        ...far(1, NOW - 9),
        id: 'b.1',
        clock: clockText({ ms: NOW - 9, counter: 0 }, 'b'),
        value: 8,
      },
    ]);
    expect(book.clashes()).toHaveLength(1);
    const settled = pen.write('score', 'p1', 5);
    expect(pen.takeBack(settled).value).toBe(1);
  });

  it('is refused for an entry of another book or of a newer version', () => {
    const { book, pen } = desk();
    expect(() => pen.takeBack(far(1, NOW))).toThrow('far.1 is not one that can be taken back');
    const newer = { ...far(2, NOW), kind: 'score@2' };
    book.add([newer]);
    expect(() => pen.takeBack(newer)).toThrow('far.2 is not one that can be taken back');
  });
});
