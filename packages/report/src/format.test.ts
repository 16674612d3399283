import { describe, expect, it } from 'vitest';
import {
  differenceUnit,
  fixedNumber,
  intervalText,
  numberFormat,
  shortDate,
  signed,
  tickFormat,
  unitWords,
} from './format';

describe('numbers for people', () => {
  it('uses a true minus sign and never writes minus zero', () => {
    expect(fixedNumber(-3.14159, 2)).toBe('−3.14');
    expect(fixedNumber(-0.001, 1)).toBe('0.0');
    expect(fixedNumber(-0, 0)).toBe('0');
  });

  it('sets thousands apart from 10 000 on, the decimals untouched', () => {
    expect(fixedNumber(1234.5, 1)).toBe('1234.5');
    expect(fixedNumber(1234567.1234, 4)).toBe('1\u202f234\u202f567.1234');
  });

  it.each([
    [[48.2, -3.31], -3.31, '−3.3'],
    [[0.4821, 0.001], 0.001, '0.001'],
    [[4.821, 0.5], 0.5, '0.50'],
    [[482.1, 3.3], 3.3, '3'],
    [[61, 54], 54, '54'],
    [[0, 0], 0, '0'],
    [[], 5, '5'],
    [[9.6e-5, -6.6e-6], -6.6e-6, '−0.7\u00a0×\u00a010⁻⁵'],
  ])('gives the largest of %j three digits and %d as many decimals', (values, value, text) => {
    expect(numberFormat(values)(value)).toBe(text);
  });

  it('gives ticks just the decimals of their step', () => {
    expect(tickFormat(0, 1, 5)(0.2)).toBe('0.2');
    expect(tickFormat(0, 60, 6)(20)).toBe('20');
    expect(tickFormat(0, 0.3, 3)(0.25)).toBe('0.3');
  });

  it('signs differences, but not a difference that rounds to nothing', () => {
    const format = numberFormat([12.3]);
    expect(signed(4.3, format)).toBe('+4.3');
    expect(signed(-4.3, format)).toBe('−4.3');
    expect(signed(0.0001, format)).toBe('0.0');
  });

  it('has no interval where an end is missing', () => {
    expect(intervalText(1, 2.5, numberFormat([2.5]))).toBe('1.00 to\u00a02.50');
    expect(intervalText(null, 2, numberFormat([2]))).toBeUndefined();
  });
});

describe('units and dates in words', () => {
  it('tells percent from percentage points', () => {
    expect(unitWords('%')).toBe('percent');
    expect(differenceUnit('%')).toBe('percentage points');
    expect(differenceUnit('%-days')).toBe('percent-days');
    expect(unitWords('leaf-days')).toBe('leaf-days');
  });

  it('shortens a day and leaves other text alone', () => {
    expect(shortDate('2026-05-04')).toBe('4\u00a0May');
    expect(shortDate('week 3')).toBe('week 3');
  });
});
