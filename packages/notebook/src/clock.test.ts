import { describe, expect, it } from 'vitest';
import {
  clockMs,
  clockText,
  clockWriter,
  type Instant,
  isClock,
  LAST_ACCEPTED_MS,
  LAST_BELIEVED_MS,
  tick,
  wallMs,
} from './clock';

const text = (ms: number, counter: number, writer = 'w'): string =>
  clockText({ ms, counter }, writer);

describe('the text of a clock', () => {
  // 1790000000000 in base 36, by the language itself: (1790000000000).toString(36).
  it('is 9 digits of milliseconds, 4 of the counter, and the writer', () => {
    expect(text(1_790_000_000_000, 0, 'k3')).toBe('0mubbs7i80000-k3');
    expect(text(0, 35, 'k3')).toBe('000000000000z-k3');
    expect(text(36 ** 9 - 1, 36 ** 4 - 1, 'k3')).toBe('zzzzzzzzzzzzz-k3');
  });

  it('gives back what went in', () => {
    const clock = text(1_790_000_000_123, 77, 'a-b_C');
    expect(clockMs(clock)).toBe(1_790_000_000_123);
    expect(clockWriter(clock)).toBe('a-b_C');
  });

  it('sorts as text as it does as numbers', () => {
    const instants: Instant[] = [];
    for (const ms of [0, 1, 35, 36, 1_295, 1_296, 1_790_000_000_000, LAST_ACCEPTED_MS]) {
      for (const counter of [0, 1, 9, 10, 35, 36, 36 ** 4 - 1]) instants.push({ ms, counter });
    }
    const texts = instants.map(({ ms, counter }) => text(ms, counter));
    expect(texts.toSorted()).toEqual(texts);
    expect(new Set(texts).size).toBe(texts.length);
  });

  it('sorts by writer where all else is the same, a shorter name first', () => {
    const texts = ['B', 'a', 'a0', 'aa', 'b'].map((writer) => text(5, 5, writer));
    expect(texts.toSorted()).toEqual(texts);
  });

  it.each([
    '',
    '0mubbs7ia0000',
    '0mubbs7ia0000-',
    '0MUBBS7IA0000-k3',
    '0mubbs7ia000-k3',
    ' 0mubbs7ia0000-k3',
    '0mubbs7ia0000-k.3',
    `0mubbs7ia0000-${'k'.repeat(41)}`,
    '0mubbs7ia0000-k3\n',
    '\u0660mubbs7ia0000-k3',
  ])('is not %j', (wrong) => expect(isClock(wrong)).toBe(false));

  it('is not later than the last that is accepted', () => {
    expect(LAST_BELIEVED_MS).toBe(Date.UTC(3000, 0, 1));
    expect(LAST_ACCEPTED_MS).toBe(Date.UTC(3100, 0, 1));
    expect(isClock(text(LAST_ACCEPTED_MS, 36 ** 4 - 1))).toBe(true);
    expect(isClock(text(LAST_ACCEPTED_MS + 1, 0))).toBe(false);
    expect(isClock('zzzzzzzzzzzzz-w')).toBe(false);
  });
});

/** The rules of Kulkarni et al. 2014 as the paper states them, written from memory of figure 5. */
type Node = { l: number; c: number };

const local = ({ l, c }: Node, pt: number): Node => {
  const next = Math.max(l, pt);
  return { l: next, c: next === l ? c + 1 : 0 };
};

const receive = ({ l, c }: Node, m: Node, pt: number): Node => {
  const next = Math.max(l, m.l, pt);
  if (next === l && next === m.l) return { l: next, c: Math.max(c, m.c) + 1 };
  if (next === l) return { l: next, c: c + 1 };
  if (next === m.l) return { l: next, c: m.c + 1 };
  return { l: next, c: 0 };
};

describe('tick', () => {
  it('begins at the wall clock', () => {
    expect(tick(undefined, 1_000)).toEqual({ ms: 1_000, counter: 0 });
  });

  // Worked by hand by the rules of the paper: a device whose wall clock stands at 0 to 3 receives
  // (10, 0) from one that is ahead. Our clock ticks for entries alone, the paper's for a receipt
  // too, so ours is one count lower there and the order of entries is the same.
  it('follows the worked example of a device that is behind', () => {
    let latest = text(10, 0, 'ahead');
    const got: (readonly [number, number])[] = [];
    for (const wall of [1, 2, 3]) {
      const { ms, counter } = tick(latest, wall);
      got.push([ms, counter]);
      latest = text(ms, counter);
    }
    expect(got).toEqual([
      [10, 1],
      [10, 2],
      [10, 3],
    ]);
    expect(tick(latest, 11)).toEqual({ ms: 11, counter: 0 });
  });

  it('gives the clocks of the paper, where receipts are not counted as events', () => {
    // Two devices, one 1,000 ms ahead, that write and exchange in turn.
    const walls = [5_000, 5_001, 5_001, 5_001, 5_900, 6_100, 6_100, 6_102, 7_500, 6_000];
    let paper: Node = { l: 0, c: 0 };
    let ours = text(0, 0);
    for (const wall of walls) {
      paper = local(paper, wall);
      const { ms, counter } = tick(ours, wall);
      expect([ms, counter]).toEqual([paper.l, paper.c]);
      ours = text(ms, counter);
    }
    // A message, then an event: the paper's clock is the larger by the one count of the receipt.
    const message = { l: 9_000, c: 4 };
    const after = local(receive(paper, message, 6_000), 6_001);
    const { ms, counter } = tick(text(message.l, message.c), 6_001);
    expect([after.l, after.c]).toEqual([9_000, 6]);
    expect([ms, counter]).toEqual([9_000, 5]);
  });

  it('counts on where the wall clock stands still or goes back', () => {
    const latest = text(5_000, 7);
    expect(tick(latest, 5_000)).toEqual({ ms: 5_000, counter: 8 });
    expect(tick(latest, 4_999)).toEqual({ ms: 5_000, counter: 8 });
    expect(tick(latest, -8.64e15)).toEqual({ ms: 5_000, counter: 8 });
    expect(tick(latest, 5_001)).toEqual({ ms: 5_001, counter: 0 });
  });

  it('carries a full counter over into the milliseconds', () => {
    const full = text(5_000, 36 ** 4 - 1);
    const next = tick(full, 4_000);
    expect(next).toEqual({ ms: 5_001, counter: 0 });
    expect(clockText(next, 'w') > full).toBe(true);
    // The wall clock says 5,001 too, which is no longer ahead.
    expect(tick(text(5_001, 0), 5_001)).toEqual({ ms: 5_001, counter: 1 });
  });

  it('does not believe a wall clock before 1970 or after 2999, nor one that gives no time', () => {
    for (const wall of [-1, LAST_BELIEVED_MS + 1, 8.64e15, Infinity, -Infinity, Number.NaN]) {
      expect(tick(undefined, wall)).toEqual({ ms: 0, counter: 0 });
      expect(tick(text(5_000, 0), wall)).toEqual({ ms: 5_000, counter: 1 });
    }
    expect(tick(undefined, LAST_BELIEVED_MS)).toEqual({ ms: LAST_BELIEVED_MS, counter: 0 });
  });

  it('goes on after the farthest clock that an honest device can have', () => {
    let latest = text(LAST_BELIEVED_MS, 36 ** 4 - 1);
    for (let i = 0; i < 1_000; i++) {
      const next = clockText(tick(latest, 1_790_000_000_000), 'w');
      expect(next > latest && isClock(next)).toBe(true);
      latest = next;
    }
  });

  it('stays at the last clock there is', () => {
    const last = text(LAST_ACCEPTED_MS, 36 ** 4 - 1);
    expect(tick(last, 5_000)).toEqual({ ms: LAST_ACCEPTED_MS, counter: 36 ** 4 - 1 });
  });
});

it('reads a wall clock as whole milliseconds', () => {
  expect([1.9, -1.9, 0, Number.NaN, 1e300].map(wallMs)).toEqual([1, -1, 0, 0, 8.64e15]);
});
