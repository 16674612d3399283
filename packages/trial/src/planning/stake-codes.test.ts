import { describe, expect, it } from 'vitest';
import { stakeCodes } from './stake-codes';

const apart = (a: string, b: string): number =>
  Array.from(a).filter((sign, i) => sign !== b[i]).length;

describe.each([
  [16, 3],
  [128, 3],
  [200, 4],
])('%i stakes', (n, length) => {
  const codes = stakeCodes(n, 7);

  it(`have ${length} signs, none of them easily mistaken, and at least one letter`, () => {
    for (const code of codes) {
      expect(code).toHaveLength(length);
      expect(code).toMatch(/^[CHKMPTXY3479]+$/);
      expect(code).toMatch(/[A-Z]/);
    }
  });

  it('differ from one another in two signs or more', () => {
    codes.forEach((code, i) => {
      for (const other of codes.slice(i + 1)) expect(apart(code, other)).toBeGreaterThan(1);
    });
  });
});

it('one seed gives one list, another seed another, and a longer list begins alike', () => {
  expect(stakeCodes(4, 1)).toEqual(['CPP', 'MKT', '4XM', '7PK']);
  expect(stakeCodes(4, 2)).not.toEqual(stakeCodes(4, 1));
  expect(stakeCodes(40, 1).slice(0, 4)).toEqual(stakeCodes(4, 1));
});

it('refuses more stakes than it has codes', () => {
  expect(stakeCodes(0, 1)).toEqual([]);
  expect(stakeCodes(1000, 1)).toHaveLength(1000);
  expect(() => stakeCodes(5000, 1)).toThrow(RangeError);
  expect(() => stakeCodes(1.5, 1)).toThrow(RangeError);
});

it('no two of a garden trial have the same signs in another order', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const sorted = stakeCodes(36, seed).map((code) => Array.from(code).sort().join(''));
    expect(new Set(sorted).size).toBe(36);
  }
});
