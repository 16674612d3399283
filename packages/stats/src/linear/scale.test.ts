import { describe, expect, it } from 'vitest';
import { createRandom } from '../random';
import { boxCox } from './box-cox';
import type { Term } from './design';
import { chooseScale, leaveFrom, offScale, onScale, scaleFor, type ScaleName } from './scale';

const names: readonly ScaleName[] = ['as-scored', 'square-root', 'logarithm', 'log-odds'];

describe('the scale of plot values', () => {
  it('is left only where the last but one is five times the second', () => {
    const even = [10, 12, 14, 16, 18, 20, 22, 24];
    expect(chooseScale(even)).toEqual({ scale: scaleFor('as-scored', even), ratio: 22 / 12 });
    const steep = [1, 4, 8, 9, 10, 12, 19.9, 100];
    expect(chooseScale(steep).scale.name).toBe('as-scored');
    expect(chooseScale([1, 4, 8, 9, 10, 12, 20, 100])).toEqual({
      scale: { name: 'logarithm', low: 0, high: 0, whole: 0 },
      ratio: leaveFrom,
    });
  });

  it('does not heed one odd plot at either end', () => {
    expect(chooseScale([0.01, 10, 11, 12, 13, 14, 15, 1000]).scale.name).toBe('as-scored');
    // With few plots every one counts.
    expect(chooseScale([0.01, 10, 11]).scale.name).toBe('logarithm');
  });

  it('takes log-odds for shares, from either end', () => {
    expect(chooseScale([1, 2, 4, 8, 12, 16, 20, 40], 100).scale.name).toBe('log-odds');
    expect(chooseScale([60, 80, 84, 88, 92, 96, 98, 99], 100).scale.name).toBe('log-odds');
    expect(chooseScale([30, 35, 40, 45, 50, 55, 60, 70], 100).scale.name).toBe('as-scored');
  });

  it('stays where there is no other: negative values, nothing anywhere, no values', () => {
    for (const values of [[-1, 2, 300], [0, 0, 0], [], [5]]) {
      expect(chooseScale(values).scale.name).toBe('as-scored');
    }
    expect(chooseScale([120, 1, 5, 9], 100).scale.name).toBe('as-scored');
    expect(scaleFor('log-odds', [100, 100], 100).name).toBe('as-scored');
  });

  it('heeds the values alone: any order gives the same scale', () => {
    const random = createRandom(7);
    const values = Array.from({ length: 16 }, () => Math.floor(random.uniform() * 40));
    const chosen = chooseScale(values, 100);
    for (let n = 0; n < 50; n++) {
      random.shuffle(values);
      expect(chooseScale(values, 100)).toEqual(chosen);
    }
  });

  it('goes there and back', () => {
    for (const name of names) {
      const values = [0, 0.5, 3, 40, 99.5, 100];
      const scale = scaleFor(name, values, 100);
      expect(scale.name).toBe(name);
      for (const value of values) {
        expect(offScale(scale, onScale(scale, value))).toBeCloseTo(value, 9);
      }
      const places = values.map((value) => onScale(scale, value));
      expect(places.every(Number.isFinite)).toBe(true);
      expect(places).toEqual(places.toSorted((a, b) => a - b));
    }
  });

  it('never comes back below nothing or above the whole', () => {
    const scale = scaleFor('log-odds', [0, 50, 100], 100);
    expect(offScale(scale, -1000)).toBe(0);
    expect(offScale(scale, 1000)).toBe(100);
  });
});

// R 4.2.2, MASS 7.3-58.2: boxcox(..., lambda = seq(-3, 3, 1/1000)), its top and the ends of the
// powers within qchisq(.95, 1) / 2 of it; so to 0.001.
const step = 0.0011;

// Finney 1947, Probit Analysis; sprays of lime sulphur against bees, by way of R's OrchardSprays:
// row, column, treatment, decrease.
const finney: readonly (readonly [number, number, string, number])[] = [
  [1, 1, 'D', 57],
  [2, 1, 'E', 95],
  [3, 1, 'B', 8],
  [4, 1, 'H', 69],
  [5, 1, 'G', 92],
  [6, 1, 'F', 90],
  [7, 1, 'C', 15],
  [8, 1, 'A', 2],
  [1, 2, 'C', 84],
  [2, 2, 'B', 6],
  [3, 2, 'H', 127],
  [4, 2, 'D', 36],
  [5, 2, 'E', 51],
  [6, 2, 'A', 2],
  [7, 2, 'F', 69],
  [8, 2, 'G', 71],
  [1, 3, 'F', 87],
  [2, 3, 'H', 72],
  [3, 3, 'A', 5],
  [4, 3, 'E', 39],
  [5, 3, 'D', 22],
  [6, 3, 'C', 16],
  [7, 3, 'G', 72],
  [8, 3, 'B', 4],
  [1, 4, 'H', 130],
  [2, 4, 'A', 4],
  [3, 4, 'E', 114],
  [4, 4, 'C', 9],
  [5, 4, 'F', 20],
  [6, 4, 'G', 24],
  [7, 4, 'B', 10],
  [8, 4, 'D', 51],
  [1, 5, 'E', 43],
  [2, 5, 'D', 28],
  [3, 5, 'G', 60],
  [4, 5, 'A', 5],
  [5, 5, 'C', 17],
  [6, 5, 'B', 7],
  [7, 5, 'H', 81],
  [8, 5, 'F', 71],
  [1, 6, 'A', 12],
  [2, 6, 'C', 29],
  [3, 6, 'F', 44],
  [4, 6, 'G', 77],
  [5, 6, 'B', 4],
  [6, 6, 'D', 27],
  [7, 6, 'E', 47],
  [8, 6, 'H', 76],
  [1, 7, 'B', 8],
  [2, 7, 'G', 72],
  [3, 7, 'C', 13],
  [4, 7, 'F', 57],
  [5, 7, 'A', 4],
  [6, 7, 'H', 81],
  [7, 7, 'D', 20],
  [8, 7, 'E', 61],
  [1, 8, 'G', 80],
  [2, 8, 'F', 114],
  [3, 8, 'D', 39],
  [4, 8, 'B', 14],
  [5, 8, 'H', 86],
  [6, 8, 'E', 55],
  [7, 8, 'A', 3],
  [8, 8, 'C', 19],
];

const factor = (name: string, codes: readonly number[]): Term => ({
  kind: 'factor',
  name,
  codes,
  levels: [...new Set(codes)].map(String),
});

describe('the power of Box and Cox', () => {
  it('is R’s for Dobson’s plant weights (1983), with an end beyond the range', () => {
    const weights = [
      4.17, 5.58, 5.18, 6.11, 4.5, 4.61, 5.17, 4.53, 5.33, 5.14, 4.81, 4.17, 4.41, 3.59, 5.87, 3.83,
      6.03, 4.89, 4.32, 4.69, 6.31, 5.12, 5.54, 5.5, 5.37, 5.29, 4.92, 6.15, 5.8, 5.26,
    ];
    const found = boxCox(weights, [
      factor(
        'group',
        weights.map((_, i) => Math.floor(i / 10)),
      ),
    ])!;
    expect(Math.abs(found.power - 0.95)).toBeLessThan(step);
    expect(Math.abs(found.low + 1.297)).toBeLessThan(step);
    expect(found.high).toBe(3);
  });

  it('is R’s for Finney’s sprays in a Latin square: near the logarithm', () => {
    const rows = finney.map(([row]) => row - 1);
    const columns = finney.map(([, column]) => column - 1);
    const treatments = finney.map(([, , treatment]) => 'ABCDEFGH'.indexOf(treatment));
    const found = boxCox(
      finney.map(([, , , decrease]) => decrease),
      [factor('row', rows), factor('column', columns), factor('treatment', treatments)],
    )!;
    expect(Math.abs(found.power - 0.132)).toBeLessThan(step);
    expect(Math.abs(found.low + 0.033)).toBeLessThan(step);
    expect(Math.abs(found.high - 0.313)).toBeLessThan(step);
  });

  it('does not change with the unit, and turns with the power', () => {
    const y = [3.1, 8.4, 2.2, 30.5, 11.7, 5.3, 19.9, 7.2];
    const terms = [factor('g', [0, 0, 0, 0, 1, 1, 1, 1])];
    const plain = boxCox(y, terms)!;
    const tens = boxCox(
      y.map((value) => 10 * value),
      terms,
    )!;
    const squares = boxCox(
      y.map((value) => value ** 2),
      terms,
    )!;
    expect(tens.power).toBeCloseTo(plain.power, 5);
    expect(squares.power).toBeCloseTo(plain.power / 2, 5);
  });

  it('has none where a value is 0, or nothing varies', () => {
    expect(boxCox([0, 1, 2], [])).toBeUndefined();
    expect(boxCox([2, 2, 2], [])).toBeUndefined();
  });
});
