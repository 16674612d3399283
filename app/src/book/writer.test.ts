import { describe, expect, it } from 'vitest';
import { newWriter, randomLetters, setWho, who } from './writer';

describe('letters by chance', () => {
  it('are as many as asked, and each comes about as often as the others', () => {
    const text = randomLetters(36_000);
    expect(text).toMatch(/^[0-9a-z]{36000}$/);
    const counts = new Map<string, number>();
    for (const letter of text) counts.set(letter, (counts.get(letter) ?? 0) + 1);
    // Each count is binomial: mean 1000, standard deviation 31; six of them are never met.
    for (const count of counts.values()) expect(Math.abs(count - 1000)).toBeLessThan(190);
    expect(counts.size).toBe(36);
  });
});

describe('a page without storage of its own', () => {
  it('keeps its device and the name for the visit', () => {
    const [one, two] = [newWriter(), newWriter()];
    expect(one).toMatch(/^[0-9a-z]{10}$/);
    expect(two.slice(0, 6)).toBe(one.slice(0, 6));
    expect(two).not.toBe(one);
    expect(who()).toBe('');
    setWho('  Ada Löw ');
    expect(who()).toBe('Ada Löw');
  });
});
