import { createRandom } from '@fairbed/stats';
import { describe, expect, it } from 'vitest';
import {
  allLatinSquares,
  complete,
  countAutotopisms,
  isLatin,
  redraw,
  type Square,
} from './latin-square';

const cyclic = (order: number): Square => ({
  order,
  cells: Uint8Array.from(
    { length: order * order },
    (_, i) => (Math.floor(i / order) + (i % order)) % order,
  ),
});
const xor = (order: number): Square => ({
  order,
  cells: Uint8Array.from({ length: order * order }, (_, i) => Math.floor(i / order) ^ (i % order)),
});
const cube = (n: number): number => [...Array(n).keys()].reduce((p, i) => p * (i + 1), 1) ** 3;

describe('allLatinSquares', () => {
  // OEIS A002860: 1, 2, 12, 576, 161280.
  it.each([
    [1, 1],
    [2, 2],
    [3, 12],
    [4, 576],
    [5, 161_280],
  ])('of order %i are %i, all different', (order, n) => {
    const { squares, count } = allLatinSquares(order);
    expect(count).toBe(n);
    const seen = new Set<string>();
    for (let i = 0; i < count; i++) {
      const cells = squares.subarray(i * order * order, (i + 1) * order * order);
      if (!isLatin({ order, cells })) throw new Error(`square ${i} is not Latin`);
      seen.add(cells.join(''));
    }
    expect(seen.size).toBe(n);
  });
});

describe('countAutotopisms', () => {
  // The table of a group G has |G|^2 |Aut G| autotopisms: cyclic groups have phi(n) automorphisms,
  // the group of order 4 that is not cyclic 6, that of order 8 in which all squares are one 168.
  it.each([
    [2, 4 * 1],
    [3, 9 * 2],
    [4, 16 * 2],
    [5, 25 * 4],
    [6, 36 * 2],
    [7, 49 * 6],
    [8, 64 * 4],
  ])('of the cyclic square of order %i are %i', (order, n) =>
    expect(countAutotopisms(cyclic(order))).toBe(n),
  );
  it('of the two others that groups give', () => {
    expect(countAutotopisms(xor(4))).toBe(16 * 6);
    expect(countAutotopisms(xor(8))).toBe(64 * 168);
  });

  // Second road: squares of order 4 fall into two families, n!^3 over autotopisms each; 432 + 144.
  it('adds up to all squares of order 4', () => {
    expect(cube(4) / countAutotopisms(cyclic(4)) + cube(4) / countAutotopisms(xor(4))).toBe(576);
  });
});

describe('redraw', () => {
  it('gives Latin squares, each of the 144 reachable from the xor square about as often', () => {
    const random = createRandom(5);
    const out = new Uint8Array(16);
    const seen = new Map<string, number>();
    const draws = 14_400;
    for (let i = 0; i < draws; i++) {
      redraw(xor(4), random, out);
      seen.set(out.join(''), (seen.get(out.join('')) ?? 0) + 1);
    }
    expect(seen.size).toBe(144);
    // Chi-square on 143 df has mean 143 and standard deviation 16.9; 5 of them up is 228.
    const chi = [...seen.values()].reduce((sum, n) => sum + (n - 100) ** 2 / 100, 0);
    expect(chi).toBeLessThan(228);
  });
});

describe('complete', () => {
  it('finds lost cells again', () => {
    const square = cyclic(5);
    const holes = { order: 5, cells: square.cells.slice() };
    for (const at of [0, 7, 24]) holes.cells[at] = 255;
    expect(complete(holes)?.cells).toEqual(square.cells);
  });
  it('gives up where the cells that are left do not tell', () => {
    expect(complete({ order: 3, cells: new Uint8Array(9).fill(255) })).toBeUndefined();
  });
  it('refuses what is not Latin', () => {
    expect(complete({ order: 2, cells: Uint8Array.of(0, 0, 1, 1) })).toBeUndefined();
  });
});
