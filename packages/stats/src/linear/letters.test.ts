import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factorOf, numbersOf, readTable } from '../../oracle/read';
import { allPairs } from './compare';
import { fitLinear } from './fit';
import { letters } from './letters';
import { leastSquaresMeans } from './lsmeans';

const split = (text: string): string[] => text.match(/[A-Za-z]\d*/g) ?? [];

function share(a: string, b: string): boolean {
  const first = new Set(split(a));
  return split(b).some((letter) => first.has(letter));
}

describe('compact letters', () => {
  it('plant weights, Dobson 1983: control ab, t1 a, t2 b', () => {
    const rows = readTable('plant-growth');
    const fit = fitLinear({ y: numbersOf(rows, 'weight'), terms: [factorOf(rows, 'group')] });
    const lsm = leastSquaresMeans(fit, 'group');
    const means = lsm.means.map(({ estimate }) => estimate);
    const { pairs } = allPairs(lsm);
    expect(letters({ means, pairs, alpha: 0.05 })).toEqual(['ab', 'a', 'b']);
    expect(letters({ means, pairs, alpha: 0.05, lowestFirst: false })).toEqual(['ab', 'b', 'a']);
  });

  it('all alike share a; all apart share nothing; no mean, no letter', () => {
    const pairs = (p: number) => [
      { a: 0, b: 1, p },
      { a: 0, b: 2, p },
      { a: 1, b: 2, p },
    ];
    expect(letters({ means: [3, 1, 2], pairs: pairs(0.5), alpha: 0.05 })).toEqual(['a', 'a', 'a']);
    expect(letters({ means: [3, 1, 2], pairs: pairs(0.01), alpha: 0.05 })).toEqual(['c', 'a', 'b']);
    expect(letters({ means: [3, undefined, 2], pairs: pairs(0.01), alpha: 0.05 })).toEqual([
      'b',
      '',
      'a',
    ]);
    expect(letters({ means: [], pairs: [], alpha: 0.05 })).toEqual([]);
  });

  const pattern = fc.integer({ min: 1, max: 9 }).chain((n) =>
    fc.record({
      means: fc.array(fc.integer({ min: 0, max: 20 }), { minLength: n, maxLength: n }),
      apart: fc.array(fc.boolean(), { minLength: (n * (n - 1)) / 2, maxLength: (n * (n - 1)) / 2 }),
    }),
  );

  it('a pair shares a letter if and only if it is not significant, whatever the pattern', () => {
    fc.assert(
      fc.property(pattern, ({ means, apart }) => {
        const pairs = means
          .flatMap((_, a) => means.slice(a + 1).map((__, k) => ({ a, b: a + 1 + k })))
          .map((pair, i) => ({ ...pair, p: apart[i] ? 0.01 : 0.2 }));
        const shown = letters({ means, pairs, alpha: 0.05 });
        for (const { a, b, p } of pairs) expect(share(shown[a], shown[b])).toBe(p >= 0.05);
        for (const text of shown) expect(text).not.toBe('');
        const lowest = shown[means.indexOf(Math.min(...means))];
        expect(split(lowest)[0]).toBe('a');
      }),
      { numRuns: 300 },
    );
  });

  it('when p follows the distance of means, letters run in the order of means', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 0, max: 300 }), { minLength: 2, maxLength: 70 }),
        fc.integer({ min: 1, max: 60 }),
        (means, reach) => {
          const pairs = means.flatMap((x, a) =>
            means
              .slice(a + 1)
              .map((y, k) => ({ a, b: a + 1 + k, p: Math.abs(x - y) > reach ? 0 : 1 })),
          );
          const shown = letters({ means, pairs, alpha: 0.05 });
          const order = means
            .map((mean, i) => ({ mean, text: shown[i] }))
            .sort((p, q) => p.mean - q.mean);
          const seen = order.flatMap(({ text }) => split(text));
          // Each letter holds a run of neighbours, and letters begin in their own order.
          const starts = [...new Set(seen)];
          const first = (letter: string) =>
            order.findIndex(({ text }) => split(text).includes(letter));
          expect(starts.map(first)).toEqual([...starts.map(first)].sort((p, q) => p - q));
          for (const { a, b, p } of pairs) expect(share(shown[a], shown[b])).toBe(p === 1);
        },
      ),
      { numRuns: 60 },
    );
  });
});
