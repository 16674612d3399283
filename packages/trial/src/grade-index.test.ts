import { describe, expect, it } from 'vitest';
import { gradeIndex, percentPerStep } from './grade-index';

const repeat = (counts: readonly number[], classes: readonly number[]): number[] =>
  counts.flatMap((n, i) => Array.from({ length: n }, () => classes[i]));

describe('gradeIndex', () => {
  const classes = [0, 1, 2, 3, 4];
  // Townsend & Heuberger 1943: sum(n v) / (N V); 4, 6, 5, 3, 2 plants in classes 0 to 4 is 33/80.
  it('of 4, 6, 5, 3, 2 plants in classes 0 to 4 is 41.25 %', () => {
    expect(gradeIndex(repeat([4, 6, 5, 3, 2], classes), { classes, healthy: 0 })).toBe(41.25);
  });

  it('is the same when the healthy class is the highest, or is not zero', () => {
    const top = { classes: [0, 1, 2, 3, 4], healthy: 4 };
    expect(gradeIndex(repeat([2, 3, 5, 6, 4], top.classes), top)).toBe(41.25);
    const fromOne = { classes: [1, 2, 3, 4, 5], healthy: 1 };
    expect(gradeIndex(repeat([4, 6, 5, 3, 2], fromOne.classes), fromOne)).toBe(41.25);
  });

  it('goes from 0, all healthy, to 100, all at the worst', () => {
    expect(gradeIndex([9, 9, 9], { classes: [1, 9], healthy: 9 })).toBe(0);
    expect(gradeIndex([1, 1], { classes: [1, 5, 9], healthy: 9 })).toBe(100);
  });

  it('has no value without grades or without a second class', () => {
    expect(gradeIndex([], { classes: [0, 1], healthy: 0 })).toBeUndefined();
    expect(gradeIndex([1], { classes: [1], healthy: 1 })).toBeUndefined();
    expect(percentPerStep({ classes: [1], healthy: 1 })).toBeUndefined();
  });
});
