import { expectedSpread } from '@fairbed/stats';
import { describe, expect, it } from 'vitest';
import { countTippingPoints, countTippingSays, leaningOn, tippingPoints } from './unreplicated';

const means = [
  { name: 'untreated', mean: 60 },
  { name: 'soap', mean: 32.2819 },
  { name: 'milk', mean: 55 },
  { name: 'lost', mean: null },
];

describe('one plot of each', () => {
  it('a difference of 27.7 is ordinary between plots that scatter by 10', () => {
    const points = tippingPoints(means, 0);
    expect(points.map(({ name }) => name)).toEqual(['soap', 'milk']);
    expect(points[0].plotSd).toBeCloseTo(10, 3);
    expect(points[0].plotSdPercentOfControl).toBeCloseTo(100 / 6, 3);
    expect(tippingPoints(means, 3)).toEqual([]);
  });

  it('leaves have a tipping point of their own, told in shares', () => {
    const points = countTippingPoints(
      [
        { name: 'untreated', diseased: 30, leaves: 60 },
        { name: 'soap', diseased: 10, leaves: 60 },
        { name: 'milk', diseased: 28, leaves: 60 },
        { name: 'bare', diseased: 0, leaves: 0 },
      ],
      'untreated',
    );
    expect(points.map(({ name }) => name)).toEqual(['soap', 'milk']);
    expect(points[0].lowPercent).toBeCloseTo(28, 0);
    expect(points[0].highPercent).toBeCloseTo(72, 0);
    expect(points[1].plotSd).toBe(0);
    const says = countTippingSays(points)!;
    expect(says).toContain('soap: from 28\u00a0% to 72\u00a0% of leaves diseased');
    expect(says).toContain('milk: so few leaves differ as much by chance alone');
    expect(countTippingSays([])).toBeUndefined();
  });

  it('with the spread of earlier trials: limits, chances, and what they lean on', () => {
    const expected = expectedSpread([
      { sd: 5, df: 9 },
      { sd: 6, df: 9 },
    ]);
    const lower = leaningOn(means, 0, 'lower', expected)!;
    const [soap, milk] = lower.differences;
    expect(soap.low).toBeLessThan(-27.7);
    expect(soap.better).toBeGreaterThan(0.97);
    expect(milk.low).toBeLessThan(0);
    expect(milk.high).toBeGreaterThan(0);
    expect(lower.says).toContain(
      'all that is known of the spread between plots comes from 2 earlier trials',
    );
    const higher = leaningOn(means, 0, 'higher', expected)!;
    expect(higher.differences[0].better).toBeCloseTo(1 - soap.better, 12);
    expect(leaningOn(means, 3, 'lower', expected)).toBeUndefined();
  });
});
