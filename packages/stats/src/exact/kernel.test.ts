import { describe, expect, it } from 'vitest';
import { createRandom } from '../random';
import { type Books, createBooks } from './books';
import { countRelabelings, lookUpTotals } from './count-relabelings';
import { decodeBase64, relabelingKernel } from './kernel';
import { KERNEL_BASE64 } from './kernel-bytes';
import { createStreams, fill, step } from './streams';

type Build = { readonly buildKernel: () => Promise<Uint8Array> };

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

describe('the vector kernel', () => {
  it('is what its source assembles to, and small', async () => {
    const address = new URL('../../kernel/build.mjs', import.meta.url).href;
    const { buildKernel } = (await import(address)) as Build;
    const bytes = decodeBase64(KERNEL_BASE64);
    expect([...bytes]).toEqual([...(await buildKernel())]);
    expect(bytes.length).toBeLessThan(1400);
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
