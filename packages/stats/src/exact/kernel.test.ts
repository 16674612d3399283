import { describe, expect, it } from 'vitest';
import { createRandom } from '../random';
import { type Books, createBooks } from './books';
import { countRelabelings, lookUpTotals } from './count-relabelings';
import { assemble, decodeBase64 } from './assembly';
import { FAMILY_KERNEL_BASE64 } from './family-kernel-bytes';
import { relabelingKernel } from './kernel';
import { KERNEL_BASE64 } from './kernel-bytes';
import { pickCounter, plainPickCounter } from './family-counter';
import { createStreams, fill, step } from './streams';

type Build = { readonly buildKernel: (name: string) => Promise<Uint8Array> };

const trial = (k: number, blocks: number, seed: number): { books: Books; drawn: number } => {
  const random = createRandom(seed);
  const labels = Array.from({ length: k * blocks }, (_, i) => i % k);
  const strata = Array.from({ length: blocks }, (_, s) =>
    Array.from({ length: k }, (_, i) => s * k + i),
  );
  const values = Float64Array.from(labels, (l) => random.normal() + l / k);
  const scale = new Float64Array(k).fill(1 / Math.sqrt(blocks));
  const books = createBooks({ strata, labels, k, values, scale, fixed: (s) => s === 0 });
  if (books === undefined) throw new Error('no books');
  const totals = new Float64Array(k);
  labels.forEach((l, p) => (totals[l] += values[p]));
  return { books, drawn: totals.reduce((s, t) => s + (t * t) / blocks, 0) };
};

describe('the vector kernels', () => {
  it('run on this machine', () => {
    for (const text of [KERNEL_BASE64, FAMILY_KERNEL_BASE64]) expect(assemble(text)).toBeDefined();
  });

  it('are what their sources assemble to, and small', async () => {
    const address = new URL('../../kernel/build.mjs', import.meta.url).href;
    const { buildKernel } = (await import(address)) as Build;
    for (const [name, text, most] of [
      ['kernel', KERNEL_BASE64, 1400],
      ['family-kernel', FAMILY_KERNEL_BASE64, 450],
    ] as const) {
      const bytes = decodeBase64(text);
      expect([...bytes]).toEqual([...(await buildKernel(name))]);
      expect(bytes.length).toBeLessThan(most);
    }
  });

  it('counts as its twin does, draw for draw', () => {
    const kernel = relabelingKernel();
    expect(kernel).toBeDefined();
    if (kernel === undefined) return;
    // Books of 1 (3 x 4), 2 (4 x 4), 4 (6 x 5), 5 (5 x 6) and more; seven treatments fall back.
    for (const [k, blocks] of [
      [2, 9],
      [3, 4],
      [4, 4],
      [4, 9],
      [5, 4],
      [5, 6],
      [6, 5],
      [7, 3],
    ]) {
      const { books, drawn } = trial(k, blocks, 100 * k + blocks);
      const [one, two] = [createStreams(createRandom(3)), createStreams(createRandom(3))];
      let hits = 0;
      for (const part of [1, 700, 2000]) {
        const ours = kernel(books, one, part, drawn);
        expect(ours).toBe(countRelabelings(books, two, part, drawn));
        hits += ours;
      }
      expect(one).toEqual(two);
      expect(hits).toBeGreaterThan(0);
    }
  });

  it('counts a family as its twin does, layout for layout', () => {
    const random = createRandom(12);
    // Books of one, two and five; odd numbers of columns and of layouts.
    for (const [books, columns, rows] of [
      [1, 2, 7],
      [2, 12, 576],
      [5, 3, 24],
      [3, 21, 100],
    ]) {
      const width = columns + (columns % 2);
      const tables = new Float64Array(books * rows * width);
      for (let row = 0; row < books * rows; row++)
        for (let i = 0; i < columns; i++) tables[row * width + i] = Math.round(9 * random.normal());
      const starts = Int32Array.from({ length: books }, (_, b) => b * rows * width);
      const shelf = { width, tables, starts, rows: new Int32Array(books).fill(rows) };
      const limits = Float64Array.from({ length: columns }, (_, i) => i * books ** 0.5).sort();
      const empty = () => ({ single: new Float64Array(columns), step: new Float64Array(columns) });
      const [ours, twins] = [empty(), empty()];
      const [count, twin] = [
        pickCounter(shelf, limits, ours),
        plainPickCounter(shelf, limits, twins),
      ];
      for (const layouts of [1, 2, 511, 512]) {
        const picks = Int32Array.from(
          { length: layouts * books },
          (_, i) => starts[i % books] + random.below(rows) * width,
        );
        count(picks, layouts);
        twin(picks, layouts);
        expect(ours).toEqual(twins);
      }
      expect(ours.step[0]).toBe(1026);
      expect(ours.step[columns - 1]).toBeGreaterThanOrEqual(ours.single[columns - 1]);
    }
  });

  it('reads its bytes without help', () => {
    for (const text of ['', 'f', 'fo', 'foo', 'foob', 'fooba', 'foobar'])
      expect([...decodeBase64(Buffer.from(text).toString('base64'))]).toEqual([
        ...Buffer.from(text),
      ]);
  });
});

describe('streams and books', () => {
  it('fills as it steps', () => {
    const [one, two] = [createStreams(createRandom(9)), createStreams(createRandom(9))];
    const out = new Uint32Array(50);
    for (const lane of [0, 3, 1]) {
      fill(one, lane, 50, out);
      for (const x of out) expect(x).toBe(step(two, lane));
    }
    expect(one).toEqual(two);
  });

  it('follows the published recurrence (sfc32): state 1, 2, 3, counter 1', () => {
    // By hand: 1 + 2 + 1 = 4, then a = 2, b = 3 * 9 = 27, c = 3 * 2^21 + 4, d = 2: 2 + 27 + 2 = 31;
    // then a = 27, b = 9 (3 * 2^21 + 4) = 56,623,140, d = 3: their sum is 56,623,170.
    const state = new Int32Array(16);
    [1, 2, 3, 1].forEach((word, i) => (state[4 * i] = word));
    expect([step(state, 0), step(state, 0), step(state, 0)]).toEqual([4, 31, 56_623_170]);
  });

  it('draws every arrangement of a block equally often', () => {
    // 3! orders of one block: the total of label 0 tells where it went; chi-square on 6 cells.
    const books = createBooks({
      strata: [[0, 1, 2]],
      labels: [0, 1, 2],
      k: 3,
      values: Float64Array.of(1, 10, 100),
      scale: new Float64Array(3).fill(1),
      fixed: () => false,
    });
    if (books === undefined) throw new Error('no books');
    const draws = 60_000;
    const drawn = new Uint32Array(draws);
    fill(createStreams(createRandom(4)), 2, draws, drawn);
    const totals = new Float64Array(3 * draws);
    lookUpTotals(books, 3, drawn, totals);
    const seen = new Map<string, number>();
    for (let i = 0; i < draws; i++) {
      const key = totals.slice(3 * i, 3 * i + 3).join();
      seen.set(key, (seen.get(key) ?? 0) + 1);
    }
    expect(seen.size).toBe(6);
    const chi = [...seen.values()].reduce((s, n) => s + (n - draws / 6) ** 2 / (draws / 6), 0);
    // 99.9 % point of chi-square on 5 degrees of freedom (standard table).
    expect(chi).toBeLessThan(20.515);
  });
});
