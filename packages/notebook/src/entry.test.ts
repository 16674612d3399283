import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  byClock,
  type Entry,
  isProblem,
  MOST_REPLACES,
  MOST_THING,
  MOST_WHO,
  readEntry,
  sameEntry,
} from './entry';
import { copyJson, type Json, MOST_DEPTH, MOST_SIZE, sameJson } from './json';

const good: Entry = {
  id: 'k3.1f',
  clock: '0mubbs7ia0000-k3',
  who: 'Ada',
  kind: 'score',
  thing: 'r1/B4/2',
  value: 3,
  replaces: ['k3.1e', 'p-9_Z.1'],
};

const read = (change: object): Entry => {
  const got = readEntry({ ...good, ...change });
  if (isProblem(got)) throw new Error(got.what);
  return got;
};

/** The problem's words; a test that expects them fails where the entry is accepted. */
const wordsOf = (raw: unknown): string => {
  const got = readEntry(raw);
  return isProblem(got) ? got.what : 'accepted';
};

const refusal = (change: object): string => wordsOf({ ...good, ...change });

const nested = (depth: number): Json => {
  let value: Json = 1;
  for (let i = 0; i < depth; i++) value = i % 2 === 0 ? [value] : { a: value };
  return value;
};

const plain = (value: unknown): boolean => !JSON.stringify(value).includes('__proto__');

describe('readEntry', () => {
  it('gives a frozen copy of what it accepts', () => {
    const raw = { ...good, at: -5, value: { a: [1, { b: null }] } };
    const got = read(raw);
    expect(got).toEqual(raw);
    for (const part of [got, got.replaces, got.value, (got.value as { a: Json }).a]) {
      expect(Object.isFrozen(part)).toBe(true);
    }
    raw.value.a.push(2);
    expect(got.value).toEqual({ a: [1, { b: null }] });
  });

  it('accepts every plain value', () => {
    for (const value of [null, true, false, 0, -1.5, 1e300, '', 'x\n\u0000', [], {}, [[{}]]]) {
      expect(read({ value }).value).toEqual(value);
    }
  });

  it('accepts what is at the limits, and nothing beyond', () => {
    const ids = (n: number) => Array.from({ length: n }, (_, i) => `w.${(i + 1).toString(36)}`);
    for (const [within, beyond] of [
      [{ who: 'x'.repeat(MOST_WHO) }, { who: 'x'.repeat(MOST_WHO + 1) }],
      [{ thing: 'x'.repeat(MOST_THING) }, { thing: 'x'.repeat(MOST_THING + 1) }],
      [{ replaces: ids(MOST_REPLACES) }, { replaces: ids(MOST_REPLACES + 1) }],
      [{ value: nested(MOST_DEPTH) }, { value: nested(MOST_DEPTH + 1) }],
      [{ value: 'x'.repeat(MOST_SIZE - 2) }, { value: 'x'.repeat(MOST_SIZE - 1) }],
      [{ at: 8.64e15 }, { at: 8.64e15 + 2 }],
      [{ kind: 'score@999' }, { kind: 'score@1000' }],
    ]) {
      expect(refusal(within)).toBe('accepted');
      expect(refusal(beyond)).not.toBe('accepted');
    }
  });

  it('leaves out fields that have no value, as JSON does', () => {
    expect(read({ at: undefined, more: undefined, value: { a: 1, b: undefined } })).toEqual({
      ...good,
      value: { a: 1 },
    });
    expect('at' in read({ at: undefined })).toBe(false);
  });

  it('keeps nought without its sign, as JSON does', () => {
    expect(Object.is(read({ value: -0 }).value, 0)).toBe(true);
  });

  it('accepts an object of another realm', () => {
    const foreign: unknown = runInNewContext(`(${JSON.stringify({ ...good, value: { a: [1] } })})`);
    expect(wordsOf(foreign)).toBe('accepted');
  });

  it('is the same after a way through JSON, whatever the value', () => {
    fc.assert(
      // A field called __proto__ is refused, see below.
      fc.property(fc.jsonValue().filter(plain), (value) => {
        const got = read({ value });
        const again = readEntry(JSON.parse(JSON.stringify(got)));
        return !isProblem(again) && sameEntry(got, again) && sameEntry(read(got), got);
      }),
    );
  });
});

describe('a hostile entry is refused in words', () => {
  it.each([
    ['nothing', undefined, 'An entry is not a set of fields.'],
    ['null', null, 'An entry is not a set of fields.'],
    ['a text', 'k3.1', 'An entry is not a set of fields.'],
    ['a list', [good], 'An entry is not a set of fields.'],
    ['an empty object', {}, 'An entry has no id of the right form.'],
    ['a function', () => good, 'An entry is not a set of fields.'],
  ])('%s', (_, raw, words) => expect(wordsOf(raw)).toBe(words));

  it.each([
    ['an id without number', { id: 'k3' }, 'Entry k3 has no id of the right form.'],
    ['an id that counts from nought', { id: 'k3.0' }, 'Entry k3.0 has no id of the right form.'],
    ['an id of capitals', { id: 'k3.1F' }, 'Entry k3.1F has no id of the right form.'],
    ['an id that is a number', { id: 7 }, 'An entry has no id of the right form.'],
    ['a clock of words', { clock: 'now' }, 'Entry k3.1f has no clock of the right form.'],
    [
      'a clock at the end of time',
      { clock: 'zzzzzzzzzzzzz-k3' },
      'Entry k3.1f has no clock of the right form.',
    ],
    [
      'the clock of another writer',
      { clock: '0mubbs7ia0000-k4' },
      'Entry k3.1f has the clock of another writer.',
    ],
    [
      'the clock of a writer whose name begins alike',
      { clock: '0mubbs7ia0000-k' },
      'Entry k3.1f has the clock of another writer.',
    ],
    ['half a millisecond', { at: 0.5 }, 'Entry k3.1f has a wall clock that is no time.'],
    ['a time as text', { at: '5' }, 'Entry k3.1f has a wall clock that is no time.'],
    ['no name', { who: undefined }, 'Entry k3.1f has no name of at most 100 plain signs.'],
    ['a name of two lines', { who: 'A\nB' }, 'Entry k3.1f has no name of at most 100 plain signs.'],
    ['half a sign', { who: 'A\ud83c' }, 'Entry k3.1f has no name of at most 100 plain signs.'],
    ['a kind that is none', { kind: '__proto__' }, 'Entry k3.1f has no kind of the right form.'],
    [
      'a version that is the first',
      { kind: 'score@1' },
      'Entry k3.1f has no kind of the right form.',
    ],
    [
      'no thing',
      { thing: '' },
      'Entry k3.1f is not about a thing named in at most 600 plain signs.',
    ],
    [
      'replaces as text',
      { replaces: 'k3.1' },
      'Entry k3.1f does not say what it replaces as a list.',
    ],
    [
      'replaces with a hole',
      { replaces: Array<string>(1) },
      'Entry k3.1f replaces something that is not an entry.',
    ],
    ['replaces itself', { replaces: ['k3.1f'] }, 'Entry k3.1f says that it replaces itself.'],
    [
      'no value',
      { value: undefined },
      'Entry k3.1f has a value that holds something that is not plain data.',
    ],
    [
      'a value without end',
      { value: Infinity },
      'Entry k3.1f has a value that holds a number that is not a number.',
    ],
    [
      'a day',
      { value: new Date(0) },
      'Entry k3.1f has a value that holds something that is not plain data.',
    ],
    [
      'a map',
      { value: new Map() },
      'Entry k3.1f has a value that holds something that is not plain data.',
    ],
    [
      'a big integer',
      { value: 3n },
      'Entry k3.1f has a value that holds something that is not plain data.',
    ],
    [
      'a list with a hole',
      { value: Array<number>(3) },
      'Entry k3.1f has a value that holds something that is not plain data.',
    ],
    [
      'a list said to be huge',
      { value: Array<number>(4e9) },
      'Entry k3.1f has a value that is too large.',
    ],
    [
      'many small things',
      { value: Array.from({ length: 2e5 }, () => ({})) },
      'Entry k3.1f has a value that is too large.',
    ],
    [
      'long names of fields',
      { value: { ['x'.repeat(MOST_SIZE)]: 1 } },
      'Entry k3.1f has a value that is too large.',
    ],
    [
      'a value nested without end',
      { value: nested(100_000) },
      'Entry k3.1f has a value that is nested too deep.',
    ],
    [
      'a field of a stranger',
      { score: 7 },
      'Entry k3.1f has a field that is not known here: score.',
    ],
  ])('%s', (_, change, words) => expect(refusal(change)).toBe(words));

  it('a value that holds itself', () => {
    const loop: unknown[] = [];
    loop.push(loop);
    expect(refusal({ value: loop })).toBe('Entry k3.1f has a value that is nested too deep.');
  });

  it('a prototype in disguise, which stays where it was', () => {
    const text = JSON.stringify({ ...good, value: 0 });
    const inValue = text.replace('"value":0', '"value":{"a":{"__proto__":{"spoilt":true}}}');
    expect(wordsOf(JSON.parse(inValue))).toBe(
      'Entry k3.1f has a value that has a field called __proto__.',
    );
    const outside = text.replace('"value":0', '"value":0,"__proto__":{"spoilt":true}');
    expect(wordsOf(JSON.parse(outside))).toBe(
      'Entry k3.1f has a field that is not known here: __proto__.',
    );
    expect('spoilt' in {}).toBe(false);
  });

  it('a getter or a proxy that throws', () => {
    const trap = {
      ...good,
      get value(): Json {
        throw new Error('trap');
      },
    };
    expect(wordsOf(trap)).toBe('An entry could not be read at all.');
    const revoked = Proxy.revocable({ ...good }, {});
    revoked.revoke();
    expect(wordsOf(revoked.proxy)).toBe('An entry could not be read at all.');
  });

  it('a getter that answers otherwise the second time is kept as it was checked', () => {
    let asked = 0;
    const turncoat = {
      ...good,
      get who() {
        return asked++ === 0 ? 'Ada' : { toString: () => 'x'.repeat(1e6) };
      },
    };
    const got = readEntry(turncoat);
    expect(isProblem(got) ? got.what : got.who).toBe('Ada');
  });

  it('a name of a thousand signs is not repeated in the words', () => {
    expect(refusal({ id: `${'k'.repeat(1_000)}\n` }).length).toBeLessThan(100);
    expect(refusal({ ['x'.repeat(1_000)]: 1 }).length).toBeLessThan(120);
  });

  it('and so is anything at all: it never throws, and never gives what breaks the limits', () => {
    const field = fc.oneof(fc.anything(), fc.constantFrom<unknown>(...Object.values(good)));
    const near = fc
      .record({ key: fc.constantFrom(...Object.keys(good), 'at', 'more'), field })
      .map(({ key, field }) => ({ ...good, [key]: field }));
    fc.assert(
      fc.property(fc.oneof(fc.anything({ withNullPrototype: true }), near), (raw) => {
        const got = readEntry(raw);
        if (isProblem(got)) return got.what.endsWith('.') && got.do !== '' && got.kind === 'fault';
        return JSON.stringify(readEntry(JSON.parse(JSON.stringify(got)))) === JSON.stringify(got);
      }),
      { numRuns: 2_000 },
    );
  });
});

describe('order and sameness', () => {
  it('goes by clock, then by id', () => {
    const later = { ...good, id: 'a.1', clock: '0mubbs7ia0001-a' };
    expect(byClock(good, later)).toBe(-1);
    expect(byClock(later, good)).toBe(1);
    expect(byClock(good, { ...good, id: 'k3.2' })).toBe(-1);
    expect(byClock(good, { ...good })).toBe(0);
  });

  it('is not the same where any one field differs', () => {
    for (const change of [
      { id: 'k3.2' },
      { clock: '0mubbs7ia0001-k3' },
      { at: 5 },
      { who: '' },
      { kind: 'plan' },
      { thing: 'x' },
      { value: '3' },
      { replaces: ['k3.1e'] },
    ]) {
      expect(sameEntry(good, { ...good, ...change })).toBe(false);
      expect(sameEntry(read(change), { ...good, ...change })).toBe(true);
    }
  });

  it('compares values as data', () => {
    expect(sameJson({ a: 1, b: [2] }, { b: [2], a: 1 })).toBe(true);
    const unlike: readonly (readonly [Json, Json])[] = [
      [{ a: 1 }, { a: 1, b: null }],
      [{ a: null }, { b: null }],
      [[], {}],
      [
        [1, 2],
        [2, 1],
      ],
      [['a'], { 0: 'a' }],
      [null, {}],
      [0, false],
      ['', null],
      [{ toString: 1 }, {}],
      [{}, { constructor: 1 }],
    ];
    for (const [a, b] of unlike) {
      expect(sameJson(a, b)).toBe(false);
      expect(sameJson(b, a)).toBe(false);
    }
  });

  it('finds a copy the same as what was copied', () => {
    fc.assert(
      // A field called __proto__ is refused, see below.
      fc.property(fc.jsonValue().filter(plain), (value) => {
        const { value: copy } = copyJson(value);
        return copy !== undefined && sameJson(copy, JSON.parse(JSON.stringify(value)) as Json);
      }),
    );
  });
});
