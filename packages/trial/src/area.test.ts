import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import oracle from '../oracle/audpc.json';
import { areaWithDrops, audpc, audps, onset, standardisedAudpc, standardisedAudps } from './area';

/** Sums of a few products in another order. */
const closedForm = 1e-12;

describe('AUDPC and AUDPS', () => {
  // APS Education Center, "Disease progress": days 0, 2, 5, 6, severity 1, 2, 7, 7.5 %. Areas by
  // hand from the definitions (Shaner & Finney 1977; Simko & Piepho 2012).
  const days = [0, 2, 5, 6];
  const severity = [1, 2, 7, 7.5];
  it('of the four readings printed by APS', () => {
    expect(audpc(days, severity)).toBe(23.75);
    expect(standardisedAudpc(days, severity)).toBeCloseTo(3.958, 3);
    expect(audps(days, severity)).toBe(32.25);
    expect(standardisedAudps(days, severity)).toBe(32.25 / 8);
  });

  it('of sixteen plots, as R has them', () => {
    expect(oracle.plots).toHaveLength(16);
    for (const [, , values, area, height] of oracle.plots) {
      const here = values as number[];
      expect(audpc(oracle.days, here)! / (area as number)).toBeCloseTo(1, 12);
      expect(standardisedAudpc(oracle.days, here)! / (height as number)).toBeCloseTo(1, 12);
    }
  });

  // Jeger & Viljanen-Rollinson 2001, eq. 3: the integral of a logistic curve from y0 to yT is
  // T + ln(y0/yT)/r; y0 = .01, yT = .9879302, T = 30, r = .3 give 14.690.
  it('comes to the integral of a logistic curve as the rounds grow close', () => {
    const fine = Array.from({ length: 3001 }, (_, i) => i / 100);
    const curve = fine.map((t) => 1 / (1 + 99 * Math.exp(-0.3 * t)));
    expect(audpc(fine, curve)).toBeCloseTo(30 + Math.log(0.01 / 0.9879302) / 0.3, 4);
    const seven = [0, 5, 10, 15, 20, 25, 30];
    expect(
      audpc(
        seven,
        seven.map((t) => 1 / (1 + 99 * Math.exp(-0.3 * t))),
      ),
    ).toBeCloseTo(14.691, 3);
  });

  it('of a level curve is the level, and a round on the straight line changes nothing', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(fc.integer({ min: 1, max: 30 }), fc.double({ min: 0, max: 100, noNaN: true })),
          {
            minLength: 2,
            maxLength: 12,
          },
        ),
        (steps) => {
          let day = 0;
          const at = steps.map(([gap]) => (day += gap));
          const y = steps.map(([, value]) => value);
          const level = at.map(() => 12.5);
          expect(standardisedAudpc(at, level)).toBeCloseTo(12.5, 10);
          expect(standardisedAudps(at, level)).toBeCloseTo(12.5, 10);
          const middle = (at[0] + at[1]) / 2;
          const more = audpc(
            [at[0], middle, ...at.slice(1)],
            [y[0], (y[0] + y[1]) / 2, ...y.slice(1)],
          );
          expect(Math.abs(more! - audpc(at, y)!)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('has no value with one round, days that do not rise, lists that differ or a missing number', () => {
    expect(audpc([0], [5])).toBeUndefined();
    expect(audps([], [])).toBeUndefined();
    expect(audpc([0, 0], [1, 2])).toBeUndefined();
    expect(audpc([7, 0], [1, 2])).toBeUndefined();
    expect(audpc([0, 7], [1])).toBeUndefined();
    expect(standardisedAudpc([0, 7], [1, Number.NaN])).toBeUndefined();
    expect(standardisedAudps([0], [1])).toBeUndefined();
  });
});

it('an area with a drop at each round starts each stretch from what was left', () => {
  // 10 healthy, 2 of them stripped, 12 a week later; by hand 7 x (8 + 12) / 2.
  expect(areaWithDrops([0, 7], [10, 12], [8, 12])).toBe(70);
});

describe('onset', () => {
  it('is the first round with disease', () => {
    expect(onset([0, 7, 14], [0, 0.5, 3])).toBe(7);
    expect(onset([0, 7, 14], [0, 0.5, 3], 1)).toBe(14);
  });
  it('is not there where the plot stayed clean', () => {
    expect(onset([0, 7, 14], [0, 0, 0])).toBeUndefined();
  });
});

// Briefing example: a plant of 20 leaves, none opening; 2, 3, 4, 5 of the healthy ones fall ill in
// the weeks before four rounds, and each is removed after it was scored. By hand.
it('removing scored leaves breaks AUDPC: 497.4 %-days on the plant, 770.0 of all its leaves', () => {
  const ill = [2, 3, 4, 5];
  let standing = 20;
  let removed = 0;
  const onPlant: number[] = [];
  const cumulative: number[] = [];
  for (const n of ill) {
    onPlant.push((100 * n) / standing);
    removed += n;
    cumulative.push((100 * removed) / 20);
    standing -= n;
  }
  expect(onPlant.map((y) => Math.round(10 * y) / 10)).toEqual([10, 16.7, 26.7, 45.5]);
  expect(cumulative).toEqual([10, 25, 45, 70]);
  expect(audpc([0, 7, 14, 21], onPlant)).toBeCloseTo(497.4, 1);
  expect(Math.abs(audpc([0, 7, 14, 21], cumulative)! - 770)).toBeLessThan(closedForm * 770);
});
