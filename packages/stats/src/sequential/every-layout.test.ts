import { describe, expect, it } from 'vitest';
import type { LayoutSet } from '../exact/layout-set';
import { shuffleSplit, walkSplit } from '../exact/split-walk';
import { createRandom } from '../random';
import { layoutLooks } from './layout-looks';
import {
  blocksOf,
  early,
  even,
  everyLayout,
  late,
  looksOf,
  plainStatistic,
  rounds,
  spentBy,
} from './looks.cases';

/** The layouts called by each look, by sorting all of them: nothing of the fast road is used. */
function slowCalls(
  layouts: readonly Uint8Array[],
  looks: readonly Float64Array[],
  { spent, k }: { readonly spent: readonly number[]; readonly k: number },
): boolean[][] {
  const out = layouts.map(() => false);
  return looks.map((y, at) => {
    const t = layouts.map((row) => Number(plainStatistic(y, row, k).toFixed(9)));
    const left = [...t.keys()].filter((i) => !out[i]).sort((a, b) => t[b] - t[a]);
    const room = Math.floor(spent[at] * layouts.length + 1e-9) - out.filter(Boolean).length;
    for (const value of [...new Set(left.map((i) => t[i]))]) {
      const atLeast = left.filter((i) => t[i] >= value);
      if (atLeast.length <= room) atLeast.forEach((i) => (out[i] = true));
    }
    return out.slice();
  });
}

describe('every layout of a small design taken as drawn', () => {
  const designs = [
    { name: '3 treatments in 3 blocks', k: 3, ...blocksOf(3, 3), looks: 4 },
    { name: '2 treatments in 6 blocks', k: 2, ...blocksOf(2, 6), looks: 5 },
    {
      name: '3 treatments over 7 plots, the control thrice',
      k: 3,
      labels: Uint8Array.of(0, 0, 0, 1, 1, 2, 2),
      strata: [[0, 1, 2, 3, 4, 5, 6]],
      looks: 3,
    },
  ];
  for (const { name, k, labels, strata, looks } of designs)
    for (const [what, spending, alpha] of [
      ['late', late, 0.1],
      ['early', early, 0.2],
      ['even', even, 0.15],
    ] as const)
      for (const ties of [false, true])
        it(`${name}, ${what}${ties ? ', with ties' : ''}: calls no more than is spent, and what a slow enumeration calls`, () => {
          const all = everyLayout(labels, strata);
          const y = rounds(createRandom(k * 100 + looks), labels.length, looks, ties);
          const spent = spentBy(spending, looks, alpha);
          const layouts: LayoutSet = { kind: 'strata', strata };
          const slow = slowCalls(all, y, { spent, k });
          const called = new Array<number>(looks).fill(0);
          const wrong: string[] = [];
          all.forEach((drawn, i) => {
            const request = { labels: drawn, layouts, treatments: k, control: 0, seed: 1 };
            const result = layoutLooks({ ...request, looks: looksOf(y, spent) });
            result.looks.forEach((look, at) => {
              const { stop, p, versusControl } = look;
              if (stop) called[at]++;
              if (!result.enumerated) wrong.push('not every layout was gone through');
              if (stop !== slow[at][i]) wrong.push(`layout ${i}, look ${at}: not as the slow road`);
              if (stop !== p <= spent[at] + 1e-12) wrong.push(`layout ${i}, look ${at}: p ${p}`);
              // No treatment is called in a trial that is not.
              if (!stop && versusControl.some((one) => one.called)) wrong.push(`layout ${i}`);
              const share = slow[at].filter(Boolean).length / all.length;
              if (Math.abs(look.called - share) > 1e-12) wrong.push(`share ${look.called}`);
            });
          });
          expect(wrong).toEqual([]);
          called.forEach((count, at) => {
            expect(count).toBeLessThanOrEqual(spent[at] * all.length + 1e-9);
          });
        });
});

/** All Latin squares of an order, row after row. */
function latinSquares(order: number): Uint8Array[] {
  const found: Uint8Array[] = [];
  const square = new Uint8Array(order * order);
  const fits = (cell: number, label: number): boolean => {
    const row = cell - (cell % order);
    for (let c = row; c < cell; c++) if (square[c] === label) return false;
    for (let c = cell % order; c < cell; c += order) if (square[c] === label) return false;
    return true;
  };
  const place = (cell: number): void => {
    if (cell === square.length) found.push(square.slice());
    else
      for (let label = 0; label < order; label++) {
        if (!fits(cell, label)) continue;
        square[cell] = label;
        place(cell + 1);
      }
  };
  place(0);
  return found;
}

describe('layouts that are no strata', () => {
  /** Shares of the layouts that stop by each look, every layout taken as drawn. */
  const stopped = (
    all: readonly Uint8Array[],
    layouts: LayoutSet,
    more: { readonly k: number; readonly blocks: readonly Uint8Array[] },
  ): { readonly shares: number[]; readonly spent: number[]; readonly reported: number[] } => {
    const y = rounds(createRandom(9), all[0].length, 2);
    const spent = spentBy(even, 2, 0.2);
    const counts = [0, 0];
    let reported: number[] = [];
    for (const labels of all) {
      const of = { treatments: more.k, control: 0, blocks: more.blocks, seed: 1 };
      const result = layoutLooks({ looks: looksOf(y, spent), labels, layouts, ...of });
      expect(result.enumerated).toBe(true);
      result.looks.forEach(({ stop }, k) => (counts[k] += stop ? 1 : 0));
      reported = result.looks.map(({ called }) => called);
    }
    return { shares: counts.map((n) => n / all.length), spent, reported };
  };
  const check = ({ shares, spent, reported }: ReturnType<typeof stopped>): void => {
    shares.forEach((share, k) => {
      expect(share).toBeLessThanOrEqual(spent[k] + 1e-12);
      expect(share).toBeCloseTo(reported[k], 12);
    });
    expect(shares[1]).toBeGreaterThan(0.1);
  };

  it('Latin squares of order 4: as many stop as are called, no more than is spent', () => {
    const all = latinSquares(4);
    expect(all.length).toBe(576);
    const cells = Array.from({ length: 16 }, (_, c) => c);
    const blocks = [cells.map((c) => Math.floor(c / 4)), cells.map((c) => c % 4)];
    const list = { kind: 'list', count: all.length } as const;
    const labels = new Uint8Array(all.flatMap((row) => [...row]));
    check(
      stopped(all, { ...list, labels }, { k: 4, blocks: blocks.map((b) => Uint8Array.from(b)) }),
    );
  });

  it('split plots: hands change places between whole plots, labels within', () => {
    const drawn = Uint8Array.of(0, 1, 2, 3, 3, 2, 0, 1);
    const wholePlots = [0, 4].map((p) => [
      [p, p + 1],
      [p + 2, p + 3],
    ]);
    const all: Uint8Array[] = [];
    walkSplit(wholePlots, drawn, (row) => all.push(row.slice()));
    expect(all.length).toBe(64);
    const draw = shuffleSplit(wholePlots, drawn);
    const blocks = [Uint8Array.from(drawn, (_, p) => Math.floor(p / 4))];
    check(stopped(all, { kind: 'draw', draw, wholePlots }, { k: 4, blocks }));
  });
});
