import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { abbott, hendersonTilton, schneiderOrelli, sunShepard } from './efficacy';

describe('efficacy', () => {
  // Figures by hand from the printed formulas.
  it('by Abbott: 60 in the control, 12 treated', () => expect(abbott(60, 12).percent).toBe(80));
  it('by Henderson and Tilton: 8 of 50 against 90 of 60', () =>
    expect(
      hendersonTilton({ treatedAfter: 8, controlBefore: 60, treatedBefore: 50, controlAfter: 90 })
        .percent,
    ).toBeCloseTo(89.333, 3));
  it('by Sun and Shepard: fell 84 %, control rose 50 %', () =>
    expect(sunShepard(84, 50).percent).toBeCloseTo(89.333, 3));
  it('by Schneider-Orelli: 30 % dead, 10 % in the control', () =>
    expect(schneiderOrelli(30, 10).percent).toBeCloseTo(22.222, 3));

  it('Sun and Shepard is Henderson and Tilton in other words', () => {
    const level = fc.double({ min: 0.01, max: 1000, noNaN: true });
    fc.assert(
      fc.property(level, level, level, level, (cb, ca, tb, ta) => {
        const ht = hendersonTilton({
          controlBefore: cb,
          controlAfter: ca,
          treatedBefore: tb,
          treatedAfter: ta,
        }).percent!;
        const ss = sunShepard(100 * (1 - ta / tb), 100 * (ca / cb - 1)).percent!;
        expect(Math.abs(ss - ht)).toBeLessThan(1e-9 * Math.max(1, Math.abs(ht), cb / ca));
      }),
      { seed: 7 },
    );
  });

  it('with no disease in the control there is none, neither 0 nor 100', () => {
    expect(abbott(0, 0)).toEqual({ percent: undefined, why: 'no-disease-in-control' });
    expect(abbott(0, 5).percent).toBeUndefined();
    const levels = { controlBefore: 5, controlAfter: 0, treatedBefore: 5, treatedAfter: 1 };
    expect(hendersonTilton(levels).why).toBe('no-disease-in-control');
    expect(hendersonTilton({ ...levels, treatedBefore: 0 }).why).toBe('no-disease-before');
    expect(sunShepard(10, -100).why).toBe('no-disease-in-control');
    expect(schneiderOrelli(100, 100).why).toBe('no-disease-in-control');
  });

  it('worse than the control is negative and stays so', () => {
    expect(abbott(10, 15).percent).toBe(-50);
  });

  it('a number that is missing or below zero gives no efficacy', () => {
    expect(abbott(Number.NaN, 1).why).toBe('not-a-number');
    expect(abbott(10, -1).why).toBe('not-a-number');
    expect(schneiderOrelli(-3, 1).why).toBe('not-a-number');
  });

  it('of the means is not the mean of the efficacies', () => {
    const control = [80, 20];
    const treated = [20, 15];
    const ofMeans = abbott(50, 17.5).percent!;
    const meanOf =
      (abbott(control[0], treated[0]).percent! + abbott(control[1], treated[1]).percent!) / 2;
    expect(ofMeans).toBe(65);
    expect(meanOf).toBe(50);
  });
});
