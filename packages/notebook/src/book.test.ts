import { describe, expect, it } from 'vitest';
import { type Book, createBook } from './book';
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
