import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { blocksByBaseline } from './baseline-blocks';

const row = (n: number) =>
  Array.from({ length: n }, (_, i) => ({ bed: 'a', x: i, y: 0, width: 0.8, height: 1 }));

const formed = (...args: Parameters<typeof blocksByBaseline>) => {
  const answer = blocksByBaseline(...args);
  if (!answer.ok) throw new Error(answer.problem.what);
  return answer;
};

describe('blocks by last week’s disease', () => {
  it('hold plots alike, from least to most', () => {
    const { blocks, blockOf, notes } = formed(row(6), [30, 5, 12, 3, 14, 28], 2);
    expect(blocks).toEqual([
      [3, 1],
      [2, 4],
      [5, 0],
    ]);
    expect(blockOf).toEqual([3, 1, 2, 1, 2, 3]);
    expect(notes).toEqual([]);
  });

  it('hold every plot once, no block reaching into the next', () => {
    const values = fc.array(fc.option(fc.integer({ min: 0, max: 20 })), {
      minLength: 12,
      maxLength: 12,
    });
    fc.assert(
      fc.property(values, fc.constantFrom(1, 2, 3, 4, 6, 12), (given, perBlock) => {
        const answer = blocksByBaseline(row(12), given, perBlock);
        if (!answer.ok) {
          expect(given.every((value) => value === null)).toBe(true);
          return;
        }
        expect(answer.blocks.flat().sort((a, b) => a - b)).toEqual(row(12).map((_, i) => i));
        answer.blocks.forEach((block, k) => {
          expect(block).toHaveLength(perBlock);
          for (const i of block) expect(answer.blockOf[i]).toBe(k + 1);
          const own = block.flatMap((i) => given[i] ?? []);
          const next = (answer.blocks[k + 1] ?? []).flatMap((i) => given[i] ?? []);
          if (next.length > 0) expect(Math.max(-1, ...own)).toBeLessThanOrEqual(Math.min(...next));
        });
      }),
      { numRuns: 200, seed: 31 },
    );
  });

  it('say which equal values were parted', () => {
    const { notes } = formed(row(4), [5, 5, 5, 9], 2);
    expect(notes).toMatchObject([{ code: 'baseline-ties' }]);
    expect(notes[0].what).toContain('(5)');
    // Equal values within one block need no word.
    expect(formed(row(4), [5, 5, 9, 9], 2).notes).toEqual([]);
    expect(formed(row(4), [0, 0, 0, 0], 2).notes).toMatchObject([{ code: 'baseline-flat' }]);
  });

  it('take a plot without a value to be like its nearest neighbour, and say so', () => {
    const { blocks, notes } = formed(row(4), [2, undefined, 40, 41], 2);
    expect(blocks).toEqual([
      [0, 1],
      [2, 3],
    ]);
    expect(notes).toMatchObject([{ code: 'baseline-filled' }]);
    expect(notes[0].what).toContain('Plot 2 has no value');
    const [near, ...others] = row(4);
    const apart = [{ ...near, bed: 'b' }, ...others];
    // A plot in the same bed comes before one of another bed, whatever the figures say.
    expect(formed(apart, [90, undefined, 3, 80], 2).blocks[0]).toEqual([1, 2]);
  });

  it.each([
    ['baseline-length', [1, 2, 3], 2],
    ['baseline-blocks', [1, 2, 3, 4], 3],
    ['baseline-missing', [null, undefined, null, null], 2],
  ])('%s is said in words', (code, values, perBlock) => {
    expect(blocksByBaseline(row(4), values, perBlock)).toMatchObject({
      ok: false,
      problem: { code },
    });
  });
});
