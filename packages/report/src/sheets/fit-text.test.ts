import { expect, it } from 'vitest';
import { fitText, heightOf, wrap } from './fit-text';

/** Every letter half as wide as the type is high. */
const ruler = (text: string, size: number): number => (text.length * size * 0.5 * 25.4) / 72;

it('breaks between words, and a word longer than the line within', () => {
  expect(wrap('ab cd ef', ruler('ab cd', 9), { size: 9 }, ruler)).toEqual(['ab cd', 'ef']);
  expect(wrap('abcdefgh i', ruler('abc', 9), { size: 9 }, ruler)).toEqual([
    'abc',
    'def',
    'gh',
    'i',
  ]);
});

it('takes the largest size that fits, and ends in dots where none does', () => {
  const room = { width: 20, height: 6 };
  const fits = fitText('short', room, { sizes: [28, 9] }, ruler);
  expect(fits).toEqual({ lines: ['short'], size: 9, cut: false });
  const long = fitText('word '.repeat(40).trim(), room, { sizes: [9, 6] }, ruler);
  expect(long.cut).toBe(true);
  expect(long.lines.at(-1)).toMatch(/\.\.\.$/);
  expect(heightOf(long.lines.length, long.size)).toBeLessThanOrEqual(6);
  for (const line of long.lines) expect(ruler(line, long.size)).toBeLessThanOrEqual(20);
});

it('draws no line for no text', () => {
  expect(wrap('', 10, { size: 9 }, ruler)).toEqual([]);
});
