import { describe, expect, it } from 'vitest';
import { countText, leastText, metres, readNumber } from './figures';

describe('counts', () => {
  it('stand in full up to twelve digits, then as a power of ten', () => {
    expect(countText(331_776n)).toBe('331\u202f776');
    expect(countText(999_999_999_999n)).toBe('999\u202f999\u202f999\u202f999');
    expect(countText(6_227_020_800_000n)).toBe('about 6.2 × 10^12');
    expect(countText(16n, false)).toBe('at most 16');
  });
});

describe('a smallest p-value', () => {
  it.each([
    [0.125, '0.125'],
    [1, '1'],
    [2 / 64, '0.0313'],
    [24 / 331_776, '0.000072'],
    [1e-12, 'below 0.000000001'],
  ])('%d is written %s', (p, text) => expect(leastText(p)).toBe(text));
});

describe('a number written by hand', () => {
  const width = { name: 'The width', least: 0.05, most: 1000, unit: 'm' };
  it('is read with a point or a comma', () => {
    expect(readNumber(' 1,25 ', width)).toEqual({ ok: true, value: 1.25 });
    expect(readNumber('0.05', width)).toEqual({ ok: true, value: 0.05 });
  });
  it('is refused in words that name it, its range and what was written', () => {
    expect(readNumber('six', width)).toEqual({
      ok: false,
      what: 'The width must be a number from 0.05 to 1000 m; got “six”.',
    });
    const missing = readNumber('', width);
    expect(missing.ok ? '' : missing.what).toMatch(/^The width is missing/);
    expect(readNumber('NaN', width).ok).toBe(false);
    expect(readNumber('Infinity', width).ok).toBe(false);
    expect(readNumber('2.5', { name: 'Blocks', least: 1, most: 60, whole: true })).toMatchObject({
      ok: false,
      what: 'Blocks must be a whole number from 1 to 60; got “2.5”.',
    });
  });
});

it('metres carry no needless noughts', () => {
  expect(metres(1.2)).toBe('1.2 m');
  expect(metres(0.30000000000000004)).toBe('0.3 m');
});
