import { describe, expect, it } from 'vitest';
import { chance, figure, listed, percent } from './numbers';

describe('figures inside sentences', () => {
  it('rounds percentages as people say them', () => {
    const spoken = [0, 0.04, 4.26, 9.94, 9.96, 38.4, -38.4, -0.01].map(percent);
    expect(spoken.map((text) => text.replace('\u00a0', ' '))).toEqual([
      '0 %',
      '0 %',
      '4.3 %',
      '9.9 %',
      '10 %',
      '38 %',
      '−38 %',
      '0 %',
    ]);
    expect(spoken.every((text) => text.includes('\u00a0'))).toBe(true);
  });

  it('keeps three significant digits without an exponent in the ordinary range', () => {
    expect([0, 1234.5, -0.01234, 3e8].map(figure)).toEqual(['0', '1230', '−0.0123', '3.00e+8']);
  });

  it('never prints a p of 0', () => {
    expect([0, 0.00001, 0.0312, 0.5].map(chance)).toEqual([
      'under 0.0001',
      'under 0.0001',
      '0.031',
      '0.5',
    ]);
  });

  it('joins names as in speech', () => {
    expect([[], ['A'], ['A', 'B'], ['A', 'B', 'C']].map(listed)).toEqual([
      '',
      'A',
      'A and B',
      'A, B and C',
    ]);
  });
});
