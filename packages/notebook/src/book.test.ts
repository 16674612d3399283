import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Book, createBook } from './book';
import { clockText } from './clock';
import { type Entry, isProblem } from './entry';
import type { Json } from './json';
import type { Kind } from './kind';
import { createPen, type Pen } from './pen';

const score: Kind = {
  name: 'score',
  version: 1,
  read: (_, value) => (typeof value === 'number' ? undefined : 'a score is a number'),
};
const plan: Kind = { name: 'plan', version: 1, read: () => undefined };

type Device = { readonly book: Book; readonly pen: Pen; readonly wall: { ms: number } };

function device(writer: string, ms: number, kinds: readonly Kind[] = [score, plan]): Device {
  const wall = { ms };
  const book = createBook(kinds);
  const pen = createPen({ writer, who: () => writer, now: () => wall.ms++, book });
  return { book, pen, wall };
}

const exchange = (a: Device, b: Device): void => {
  b.book.add(a.book.entries());
  a.book.add(b.book.entries());
};

const values = (entries: readonly { readonly value: Json }[]): Json[] =>
  entries.map(({ value }) => value);

describe('a book on one device', () => {
  it('shows what was written last, and remembers the rest', () => {
    const { book, pen } = device('a', 1000);
    pen.write('score', 'p1', 3);
    pen.write('score', 'p1', 4);
    expect(book.current('score', 'p1')).toBe(4);
    expect(values(book.history('score', 'p1'))).toEqual([3, 4]);
    expect(book.clashes()).toEqual([]);
    expect(book.size()).toBe(2);
  });

  it('knows nothing of a thing nobody wrote', () => {
    const { book } = device('a', 1000);
    expect(book.current('score', 'p1')).toBeUndefined();
    expect(book.standing('score', 'p1')).toBeUndefined();
    expect(book.history('score', 'p1')).toEqual([]);
    expect(book.heads('score', 'p1')).toEqual([]);
    expect(book.things('score')).toEqual([]);
    expect(book.latest()).toBeUndefined();
  });

  it('has no value for a thing that was taken back, and still its history', () => {
    const { book, pen } = device('a', 1000);
    pen.write('score', 'p1', 3);
    pen.write('score', 'p1', null);
    expect(book.current('score', 'p1')).toBeUndefined();
    expect(book.things('score')).toEqual([]);
    expect(values(book.history('score', 'p1'))).toEqual([3, null]);
  });

  it('lists things in order of their first clock, however they changed since', () => {
    const { book, pen } = device('a', 1000);
    for (const thing of ['p2', 'p1', 'p3']) pen.write('score', thing, 1);
    pen.write('score', 'p2', 9);
    expect(book.things('score').map(([thing]) => thing)).toEqual(['p2', 'p1', 'p3']);
  });

  it('gives the same list until something is added', () => {
    const { book, pen } = device('a', 1000);
    pen.write('score', 'p1', 1);
    const before = [book.things('score'), book.history('score', 'p1'), book.entries()] as const;
    expect(book.things('score')).toBe(before[0]);
    expect(book.history('score', 'p1')).toBe(before[1]);
    expect(book.entries()).toBe(before[2]);
    pen.write('score', 'p1', 2);
    expect(before.map((list) => list.length)).toEqual([1, 1, 1]);
    expect(book.history('score', 'p1')).toHaveLength(2);
  });
});

describe('two devices', () => {
  it('meet in any order and show the later', () => {
    const [a, b] = [device('a', 1000), device('b', 5000)];
    a.pen.write('score', 'p1', 3);
    b.pen.write('score', 'p1', 5);
    exchange(a, b);
    for (const { book } of [a, b]) {
      expect(book.current('score', 'p1')).toBe(5);
      expect(book.clashes()).toMatchObject([{ kind: 'score', thing: 'p1' }]);
      expect(values(book.clashes()[0].heads)).toEqual([3, 5]);
    }
    expect(a.book.clashes()).toEqual(b.book.clashes());
  });

  it('do not clash where they say the same', () => {
    const [a, b] = [device('a', 1000), device('b', 5000)];
    a.pen.write('plan', 'crop', { name: 'chard', sown: 3 });
    b.pen.write('plan', 'crop', { sown: 3, name: 'chard' });
    exchange(a, b);
    expect(a.book.heads('plan', 'crop')).toHaveLength(2);
    expect(a.book.clashes()).toEqual([]);
  });

  it('settle a clash by writing once more in sight of both', () => {
    const [a, b] = [device('a', 1000), device('b', 5000)];
    a.pen.write('score', 'p1', 3);
    b.pen.write('score', 'p1', 5);
    exchange(a, b);
    a.pen.write('score', 'p1', 4);
    exchange(a, b);
    expect(b.book.clashes()).toEqual([]);
    expect(b.book.current('score', 'p1')).toBe(4);
    expect(values(b.book.history('score', 'p1'))).toEqual([3, 5, 4]);
  });

  it('clash again where the other wrote without having seen it', () => {
    const [a, b] = [device('a', 1000), device('b', 5000)];
    a.pen.write('score', 'p1', 3);
    b.pen.write('score', 'p1', 5);
    exchange(a, b);
    a.pen.write('score', 'p1', 4);
    b.pen.write('score', 'p1', 6);
    exchange(a, b);
    expect(values(a.book.clashes()[0].heads)).toEqual([4, 6]);
  });
});

const written = (writer: string, n: number, rest: Partial<Entry> = {}): Entry => ({
  id: `${writer}.${n.toString(36)}`,
  clock: clockText({ ms: 1_000 + n, counter: 0 }, writer),
  who: '',
  kind: 'score',
  thing: 'p1',
  value: n,
  replaces: [],
  ...rest,
});

describe('adding', () => {
  it('says what is fresh and which things have changed, each once', () => {
    const book = createBook([score, plan]);
    const { fresh, changed, refused } = book.add([
      written('a', 1),
      written('a', 2),
      written('b', 1, { kind: 'plan', thing: 'title' }),
      written('a', 1),
    ]);
    expect(fresh.map(({ id }) => id)).toEqual(['a.1', 'a.2', 'b.1']);
    expect(changed).toEqual([
      ['score', 'p1'],
      ['plan', 'title'],
    ]);
    expect(refused).toEqual([]);
    expect(book.add([written('a', 2)])).toEqual({ fresh: [], changed: [], refused: [] });
  });

  it('refuses an id that is here with other content, says so, and keeps what was here', () => {
    const book = createBook([score]);
    book.add([written('a', 1)]);
    for (const change of [{ value: 9 }, { who: 'Eve' }, { thing: 'p2' }, { at: 7 }]) {
      const forged = written('a', 1, change);
      const { fresh, refused } = book.add([forged, written('a', 2)]);
      expect(refused).toHaveLength(1);
      expect(refused[0].entry).toBe(forged);
      expect(refused[0].problem).toMatchObject({
        code: 'entry-differs',
        what: 'Entry a.1 is here already and says something else.',
      });
      expect(fresh.length).toBeLessThan(2);
    }
    expect(book.history('score', 'p1').map(({ value }) => value)).toEqual([1, 2]);
  });

  it('refuses what its kind does not accept, in the words of the kind, and takes the rest', () => {
    const book = createBook([score]);
    const { fresh, refused } = book.add([written('a', 1, { value: 'many' }), written('a', 2), 7]);
    expect(fresh.map(({ id }) => id)).toEqual(['a.2']);
    expect(refused.map(({ problem }) => problem.what)).toEqual([
      'Entry a.1 (score) is not accepted: a score is a number.',
      'An entry is not a set of fields.',
    ]);
    expect(book.latest()).toBe(written('a', 2).clock);
  });

  it('does not ask a kind about a value that was taken back', () => {
    const book = createBook([score]);
    expect(book.add([written('a', 1, { value: null })]).refused).toEqual([]);
  });

  it('refuses an entry whose kind throws, and takes the rest', () => {
    const brittle: Kind = {
      name: 'score',
      version: 1,
      read: (_, value) => (value as { text: string }).text.slice(0, 0) || undefined,
    };
    const { fresh, refused } = createBook([brittle]).add([
      written('a', 1, { value: {} }),
      written('a', 2, { value: { text: 'x' } }),
    ]);
    expect(fresh).toHaveLength(1);
    expect(refused[0].problem.what).toContain('it could not be read');
  });

  it('checks without adding', () => {
    const book = createBook([score]);
    const entry = written('a', 1);
    expect(book.check(entry)).toEqual(entry);
    expect(book.size()).toBe(0);
    book.add([entry]);
    expect(book.check(entry)).toEqual(entry);
    for (const bad of [written('a', 1, { value: 2 }), written('a', 2, { value: '' }), 'a.1']) {
      expect(isProblem(book.check(bad))).toBe(true);
    }
  });

  it('is a union: commutative, associative, and the same twice', () => {
    const entries = fc
      .uniqueArray(fc.tuple(fc.constantFrom('a', 'b'), fc.integer({ min: 1, max: 9 })), {
        selector: ([writer, n]) => `${writer}${n}`,
      })
      .map((list) => list.map(([writer, n]) => written(writer, n, { thing: `p${n % 3}` })));
    const said = (...parts: (readonly Entry[])[]): unknown => {
      const book = createBook([score]);
      for (const part of parts) book.add(part);
      return [book.entries(), book.things('score'), book.clashes(), book.latest()];
    };
    fc.assert(
      fc.property(entries, entries, entries, (x, y, z) => {
        const all = JSON.stringify(said(x, y, z));
        const merged = createBook([score]);
        merged.add(y);
        merged.add(z);
        return [
          said(z, y, x),
          said([...x, ...y, ...z]),
          said(x, x, y, z, y),
          said(merged.entries(), x),
        ].every((other) => JSON.stringify(other) === all);
      }),
    );
  });
});

describe('what a program does not know', () => {
  it('keeps and passes on an entry of an unknown kind', () => {
    const old = createBook([score]);
    const spray = written('a', 1, { kind: 'spray', thing: 's1', value: { product: 'sulphur' } });
    expect(old.add([spray]).refused).toEqual([]);
    expect(old.entries()).toEqual([spray]);
    expect(old.history('spray', 's1')).toEqual([spray]);
    const knowing = createBook([{ name: 'spray', version: 1, read: () => undefined }]);
    knowing.add(old.entries());
    expect(knowing.current('spray', 's1')).toEqual({ product: 'sulphur' });
  });

  it('keeps an entry of a newer version apart, and passes it on', () => {
    const newer: Kind = { name: 'score', version: 2, read: () => undefined };
    const [a, b] = [device('a', 1_000, [score]), device('b', 5_000, [newer])];
    a.pen.write('score', 'p1', 3);
    b.book.add(a.book.entries());
    const second = b.pen.write('score', 'p1', { of: 3, leaves: 7 });
    expect(second.kind).toBe('score@2');
    exchange(a, b);
    // The old program goes on showing what it can read; the new one sees both as one history.
    expect(a.book.current('score', 'p1')).toBe(3);
    expect(a.book.size()).toBe(2);
    expect(b.book.current('score', 'p1')).toEqual({ of: 3, leaves: 7 });
    expect(b.book.history('score', 'p1')).toHaveLength(2);
    // Written by the old program without sight of the newer entry: a clash where both are known.
    a.pen.write('score', 'p1', 4);
    exchange(a, b);
    expect(b.book.clashes()).toHaveLength(1);
    expect(a.book.clashes()).toEqual([]);
    expect(a.book.entries()).toEqual(b.book.entries());
  });
});

describe('heads', () => {
  it('only a later entry of the same thing replaces one', () => {
    const book = createBook([score, plan]);
    book.add([
      written('a', 1, { replaces: ['b.5', 'c.1'] }),
      written('b', 5, { replaces: ['zz.1'] }),
      written('c', 9, { thing: 'p2', replaces: ['b.5'] }),
    ]);
    expect(book.heads('score', 'p1').map(({ id }) => id)).toEqual(['a.1', 'b.5']);
    expect(book.clashes()).toHaveLength(1);
  });

  it('of a forged pair that replace each other the later is the head', () => {
    const book = createBook([score]);
    book.add([written('a', 1, { replaces: ['b.2'] }), written('b', 2, { replaces: ['a.1'] })]);
    expect(book.heads('score', 'p1').map(({ id }) => id)).toEqual(['b.2']);
  });

  it('a chain with its middle missing clashes until the middle comes', () => {
    const [first, second, third] = [
      written('a', 1),
      written('b', 2, { replaces: ['a.1'] }),
      written('c', 3, { replaces: ['b.2'] }),
    ];
    const book = createBook([score]);
    book.add([third, first]);
    expect(book.clashes()).toHaveLength(1);
    book.add([second]);
    expect(book.clashes()).toEqual([]);
    expect(book.heads('score', 'p1')).toEqual([third]);
  });

  it('two entries of one forged clock stand in order of their ids', () => {
    const twin = { clock: written('a', 1).clock };
    const [one, two] = [written('a', 1, twin), written('a', 2, twin)];
    for (const order of [
      [one, two],
      [two, one],
    ]) {
      const book = createBook([score]);
      book.add(order);
      expect(book.standing('score', 'p1')).toEqual(two);
    }
  });
});
