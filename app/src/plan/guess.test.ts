import { describe, expect, it } from 'vitest';
import { readGuess, usualGuess } from './guess';

describe('a guess that was kept', () => {
  it('is read as it was written', () => {
    const guess = { ground: 'patchy', percent: 12.5, leaves: 30 } as const;
    expect(readGuess(guess)).toEqual(guess);
  });

  it('counts as not made where it has another shape', () => {
    for (const value of [
      undefined,
      null,
      7,
      'even',
      [],
      { ground: 'bog', percent: 0, leaves: 2.5 },
    ])
      expect(readGuess(value)).toEqual(usualGuess);
    expect(readGuess({ percent: 60 })).toEqual({ ...usualGuess, percent: 60 });
  });
});
