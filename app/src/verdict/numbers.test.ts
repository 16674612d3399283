import { describe, expect, it } from 'vitest';
import {
  counted,
  groupedText,
  noValue,
  percentTyped,
  pSaid,
  pText,
  ratioText,
  squares,
  tableFormat,
} from './numbers';

describe('numbers for a reader', () => {
  it('never writes a probability as nought', () => {
    expect(pText(0.04999)).toBe('0.050');
    expect(pText(0.0004321)).toBe('0.0004');
    expect(pText(0.0000999)).toBe('< 0.0001');
    expect(pText(0)).toBe('< 0.0001');
    expect(pText(null)).toBe(noValue);
    expect(pSaid(0.5)).toBe('p = 0.500');
    expect(pSaid(1e-9)).toBe('p < 0.0001');
  });

  it('sets thousands apart', () => {
    expect(groupedText('331776')).toBe('331\u202f776');
    expect(groupedText('24')).toBe('24');
    expect(counted(1, 'row')).toBe('1 row');
    expect(counted(100000, 'row')).toBe('100\u202f000 rows');
  });

  it('gives the largest figure of a table four digits and the others as many decimals', () => {
    const format = tableFormat([66.3816, -2.7, 0.004]);
    expect([66.3816, -2.7, 0.004].map(format)).toEqual(['66.38', '\u22122.70', '0.00']);
    expect(tableFormat([0.01234])(0.01234)).toBe('0.01234');
    expect(tableFormat([123456])(123456.7)).toBe('123\u202f457');
    expect(tableFormat([6.75])(6.75)).toBe('6.75');
    expect(tableFormat([])(0)).toBe('0.00');
  });

  it('keeps sums of squares apart however small one is', () => {
    expect([28.968, 9452.8452, 0.0012345, 0].map(squares)).toEqual([
      '28.97',
      '9452.85',
      '0.001234',
      '0.000',
    ]);
  });

  it('gives small ratios their digits, large ones no false ones', () => {
    expect([12.34, 3.456, 0.266, 0.02626, 0.00234, 0].map(ratioText)).toEqual([
      '12.3',
      '3.46',
      '0.27',
      '0.026',
      '0.0023',
      '0.00',
    ]);
  });
});

it('takes a percentage only once it is one', () => {
  expect(['', ' ', '-', '-1', '101', '4x'].map(percentTyped)).toEqual(Array(6).fill(undefined));
  expect(['0', '4', '30', '12.5', '100'].map(percentTyped)).toEqual([0, 4, 30, 12.5, 100]);
});
