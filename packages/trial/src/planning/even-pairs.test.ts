import { describe, expect, it } from 'vitest';
import { evenPairs } from './even-pairs';

/** Checks a plan by counting, not by what it says of itself. */
function counted(treatments: number, blocks: readonly (readonly number[])[]) {
  const plots = Array<number>(treatments).fill(0);
  const shared = new Map<string, number>();
  for (let a = 0; a < treatments; a++) {
    for (let b = a + 1; b < treatments; b++) shared.set(`${a} ${b}`, 0);
  }
  for (const block of blocks) {
    expect(new Set(block).size).toBe(block.length);
    const inOrder = [...block].sort((a, b) => a - b);
    inOrder.forEach((a, i) => {
      plots[a]++;
      for (const b of inOrder.slice(i + 1)) {
        shared.set(`${a} ${b}`, (shared.get(`${a} ${b}`) ?? 0) + 1);
      }
    });
  }
  return { plots, shared: [...shared.values()] };
}

// Cochran & Cox (1957), Experimental Designs, table 11.3, from memory: treatments, plots a block,
// replicates, blocks, blocks that two treatments share.
const handbook = [
  [3, 2, 2, 3, 1],
  [4, 2, 3, 6, 1],
  [4, 3, 3, 4, 2],
  [5, 2, 4, 10, 1],
  [5, 3, 6, 10, 3],
  [5, 4, 4, 5, 3],
  [6, 2, 5, 15, 1],
  [6, 3, 5, 10, 2],
  [6, 4, 10, 15, 6],
  [7, 2, 6, 21, 1],
  [7, 3, 3, 7, 1],
  [7, 4, 4, 7, 2],
  [8, 4, 7, 14, 3],
  [9, 3, 4, 12, 1],
  [9, 4, 8, 18, 3],
  [10, 4, 6, 15, 2],
  [13, 4, 4, 13, 1],
  [16, 4, 5, 20, 1],
] as const;

describe('balanced where the handbook has a balanced plan', () => {
  it.each(handbook)(
    '%i treatments in blocks of %i: %i replicates, %i blocks, %i shared',
    (treatments, perBlock, replicates, blocks, shared) => {
      const plan = evenPairs({ treatments, blocks, perBlock });
      const found = counted(treatments, plan.blocks);
      expect(plan.blocks).toHaveLength(blocks);
      expect(found.plots).toEqual(Array(treatments).fill(replicates));
      expect(new Set(found.shared)).toEqual(new Set([shared]));
      expect([plan.least, plan.most, plan.parts]).toEqual([shared, shared, 1]);
    },
  );
});

const squares = (shared: readonly number[]): number => shared.reduce((sum, n) => sum + n * n, 0);

/** Least sum of squares of shared blocks over every plan with plots as equal as can be. */
function leastSquares(treatments: number, blocks: number, perBlock: number): number {
  const lots: number[][] = [];
  const choose = (lot: number[], from: number): void => {
    if (lot.length === perBlock) lots.push(lot);
    else for (let t = from; t < treatments; t++) choose([...lot, t], t + 1);
  };
  choose([], 0);
  let least = Infinity;
  const fill = (plan: number[][], from: number): void => {
    if (plan.length < blocks) {
      for (let l = from; l < lots.length; l++) fill([...plan, lots[l] ?? []], l);
      return;
    }
    const plots = Array<number>(treatments).fill(0);
    for (const t of plan.flat()) plots[t]++;
    if (Math.max(...plots) - Math.min(...plots) > 1) return;
    const met = new Map<number, number>();
    for (const lot of plan) {
      for (const a of lot) {
        for (const b of lot) {
          if (a < b) met.set(a * treatments + b, (met.get(a * treatments + b) ?? 0) + 1);
        }
      }
    }
    least = Math.min(least, squares([...met.values()]));
  };
  fill([], 0);
  return least;
}

describe('where no plan is balanced', () => {
  it.each([
    [5, 4, 3],
    [5, 5, 3],
    [6, 4, 3],
    [6, 5, 2],
    [6, 5, 4],
  ])(
    '%i treatments in %i blocks of %i are the best of all plans',
    (treatments, blocks, perBlock) => {
      const plan = evenPairs({ treatments, blocks, perBlock });
      const found = counted(treatments, plan.blocks);
      expect(plan.parts).toBe(1);
      expect(Math.max(...found.plots) - Math.min(...found.plots)).toBeLessThanOrEqual(1);
      expect(squares(found.shared)).toBe(leastSquares(treatments, blocks, perBlock));
      expect([plan.least, plan.most]).toEqual([
        Math.min(...found.shared),
        Math.max(...found.shared),
      ]);
    },
  );

  // No plan is more even: pairs shared n or n + 1 times.
  it.each([
    [7, 8, 3],
    [6, 6, 3],
    [12, 9, 4],
  ])(
    '%i treatments in %i blocks of %i share blocks to within one',
    (treatments, blocks, perBlock) => {
      const plan = evenPairs({ treatments, blocks, perBlock });
      const { shared } = counted(treatments, plan.blocks);
      expect(Math.max(...shared) - Math.min(...shared)).toBe(1);
    },
  );

  // Six pairs of six treatments: a ring of six or two rings of three meet equally evenly, but only
  // the ring lets all be compared.
  it('six treatments in six pairs form one ring', () => {
    const plan = evenPairs({ treatments: 6, blocks: 6, perBlock: 2 });
    expect(plan.parts).toBe(1);
    expect(counted(6, plan.blocks).plots).toEqual([2, 2, 2, 2, 2, 2]);
  });

  it('three blocks of two can only just join four treatments, in a chain', () => {
    expect(evenPairs({ treatments: 4, blocks: 3, perBlock: 2 }).parts).toBe(1);
    expect(evenPairs({ treatments: 4, blocks: 2, perBlock: 2 }).parts).toBe(2);
  });
});

it('one size has one plan', () => {
  const sizes = { treatments: 8, blocks: 9, perBlock: 3 };
  expect(evenPairs(sizes)).toEqual(evenPairs(sizes));
});
