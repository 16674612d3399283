import { describe, expect, it } from 'vitest';
import { counted, groupedText, noValue, pSaid, pText } from './numbers';

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
});
