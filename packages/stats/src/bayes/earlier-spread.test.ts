import { describe, expect, it } from 'vitest';
import { chiSquareQuantile } from '../distributions/gamma';
import { tQuantile } from '../distributions/student';
import { ModelError } from '../mixed/design';
import { createRandom } from '../random';
import { expectedSpread, leaningDifference } from './earlier-spread';
import { countTippingSd, ordinaryShares, tippingSd } from './tipping';

const tol = { closedForm: 1e-10, simulated: 0.012 };

describe('what earlier trials let expect', () => {
  it('one trial never counts for more than its own degrees of freedom', () => {
    const one = expectedSpread([{ sd: 4, df: 9 }]);
    expect(one.df).toBeLessThan(9);
    expect(one.trials).toBe(1);
    // On endless degrees of freedom the spread of that trial is known, the next one's is not.
    const known = expectedSpread([{ sd: 4, df: 1e6 }]);
    expect(known.df).toBeLessThan(4);
  });

  it('many trials that agree count for many degrees of freedom, those that differ for few', () => {
    const alike = expectedSpread(Array.from({ length: 30 }, () => ({ sd: 4, df: 9 })));
    const unlike = expectedSpread(
      Array.from({ length: 30 }, (_, i) => ({ sd: i % 2 === 0 ? 1.5 : 9, df: 9 })),
    );
    expect(alike.df).toBeGreaterThan(20);
    expect(unlike.df).toBeLessThan(3);
    expect(alike.between).toBeLessThan(unlike.between);
  });

  it('does not mind the unit', () => {
    const found = [
      { sd: 4, df: 9 },
      { sd: 6, df: 5 },
    ];
    const plain = expectedSpread(found);
    const other = expectedSpread(found.map(({ sd, df }) => ({ sd: 10 * sd, df })));
    expect(Math.abs(other.sd - 10 * plain.sd)).toBeLessThan(tol.closedForm * 100);
    expect(Math.abs(other.df - plain.df)).toBeLessThan(1e-8);
  });

  it('covers 95 % of true differences where spreads vary from trial to trial as taken', () => {
    const random = createRandom(11);
    const trials = 4000;
    const drawSd = () => Math.exp(Math.log(5) + 0.3 * random.normal());
    let held = 0;
    for (let trial = 0; trial < trials; trial++) {
      const found = Array.from({ length: 5 }, () => {
        const df = 9;
        const u = Math.min(1 - 1e-12, Math.max(1e-12, random.uniform()));
        return { sd: drawSd() * Math.sqrt(chiSquareQuantile(u, df) / df), df };
      });
      const truth = -3;
      const seen = truth + drawSd() * Math.SQRT2 * random.normal();
      const { low, high } = leaningDifference(seen, expectedSpread(found));
      if (low <= truth && truth <= high) held++;
    }
    expect(Math.abs(held / trials - 0.95)).toBeLessThan(tol.simulated);
  });

  it('refuses impossible figures', () => {
    expect(() => expectedSpread([])).toThrow(ModelError);
    expect(() => expectedSpread([{ sd: 0, df: 3 }])).toThrow('above 0');
    expect(() => expectedSpread([{ sd: 2, df: Number.NaN }])).toThrow('above 0');
  });
});

describe('a difference of two single plots', () => {
  it('is Student’s t on the spread from elsewhere', () => {
    const spread = { sd: 4, df: 9 };
    const { low, high, chance } = leaningDifference(-10, spread);
    const reach = tQuantile(0.975, 9) * 4 * Math.SQRT2;
    expect(low).toBeCloseTo(-10 - reach, 10);
    expect(high).toBeCloseTo(-10 + reach, 10);
    // The limit touches 0 exactly where the chance is 0.975.
    const edge = leaningDifference(reach, spread);
    expect(edge.low).toBeCloseTo(0, 10);
    expect(edge.chance).toBeCloseTo(0.975, 10);
    expect(chance).toBeLessThan(0.975);
  });

  it('is ordinary at its tipping point: 27.7 between plots scattering by 10', () => {
    expect(tippingSd(27.7181)).toBeCloseTo(10, 4);
    expect(tippingSd(-27.7181)).toBeCloseTo(10, 4);
  });

  it('counts: nothing is left for plots where so few leaves differ by chance alone', () => {
    expect(countTippingSd({ diseased: 1, leaves: 5 }, { diseased: 2, leaves: 5 }).plotSd).toBe(0);
    const { difference, plotSd } = countTippingSd(
      { diseased: 10, leaves: 60 },
      { diseased: 30, leaves: 60 },
    );
    // log(10.5 / 50.5); variances 1 / 10.5 + 1 / 50.5 + 2 / 30.5; by hand.
    expect(difference).toBeCloseTo(Math.log(10.5 / 50.5), 12);
    const leaves = 1 / 10.5 + 1 / 50.5 + 2 / 30.5;
    expect(1.959963984540054 * Math.sqrt(leaves + 2 * plotSd ** 2)).toBeCloseTo(-difference, 10);
  });

  it('counts: with endless leaves it is the plain one on log-odds', () => {
    const { difference, plotSd } = countTippingSd(
      { diseased: 2e9, leaves: 1e10 },
      { diseased: 5e9, leaves: 1e10 },
    );
    expect(plotSd).toBeCloseTo(tippingSd(difference), 6);
  });

  it('says what a spread of log-odds means in shares', () => {
    const { low, high } = ordinaryShares(0.5, 0.6);
    expect(low + high).toBeCloseTo(1, 12);
    expect(Math.log(high / low)).toBeCloseTo(1.959963984540054 * 0.6, 10);
    expect(ordinaryShares(0.2, 0)).toEqual({ low: 0.2, high: 0.2 });
  });
});
