import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { layoutsOf, slowF, slowScaled, slowShare, strataFactor } from '../../oracle/slow-layouts';
import { createRandom } from '../random';
import { type ExactTest, type ExactTestOptions, exactTest } from './exact-test';
import type { LayoutSet } from './layout-set';

const tested = (options: ExactTestOptions): ExactTest => {
  const result = exactTest(options);
  if (result.kind !== 'tested') throw new Error(`refused: ${result.reason}`);
  return result;
};

// Small designs: sizes of the strata's labels.
const designs: readonly { name: string; strata: number[][]; labels: number[] }[] = [
  {
    name: '3 treatments in 3 blocks',
    strata: [
      [0, 1, 2],
      [3, 4, 5],
      [6, 7, 8],
    ],
    labels: [0, 1, 2, 0, 1, 2, 0, 1, 2],
  },
  { name: 'one stratum, 3 x 2', strata: [[0, 1, 2, 3, 4, 5]], labels: [0, 0, 1, 1, 2, 2] },
  { name: 'one stratum, unequal', strata: [[0, 1, 2, 3, 4, 5, 6]], labels: [0, 0, 0, 1, 1, 2, 2] },
  {
    name: 'control twice in each of 2 blocks',
    strata: [
      [0, 1, 2, 3],
      [4, 5, 6, 7],
    ],
    labels: [0, 0, 1, 2, 0, 1, 0, 2],
  },
  {
    name: 'incomplete blocks',
    strata: [
      [0, 1],
      [2, 3],
      [4, 5],
      [6, 7],
      [8, 9],
      [10, 11],
    ],
    labels: [0, 1, 1, 2, 0, 2, 0, 1, 2, 1, 2, 0],
  },
];

describe('enumeration against a slow road of its own', () => {
  // Whole numbers for ties, thousandths for none; nothing in between that only rounding could tell apart.
  const value = fc.oneof(
    fc.integer({ min: 0, max: 4 }),
    fc.integer({ min: -5000, max: 5000 }).map((x) => x / 1000),
  );

  for (const design of designs) {
    const labels = Uint8Array.from(design.labels);
    const layouts: LayoutSet = { kind: 'strata', strata: design.strata };
    const n = labels.length;
    const all = layoutsOf(layouts, labels);
    const factors = design.strata.length > 1 ? [strataFactor(layouts, n)] : [];

    it(`counts the layouts of ${design.name}`, () => {
      const y = Float64Array.from({ length: n }, (_, i) => Math.sin(7 * i));
      expect(tested({ y, labels, layouts, treatments: 3, seed: 1 }).total).toBe(BigInt(all.length));
    });

    it(`finds the same p for ${design.name}, whole and with lost plots`, () => {
      const lost = fc.uniqueArray(fc.integer({ min: 0, max: n - 1 }), { maxLength: 2 });
      fc.assert(
        fc.property(fc.array(value, { minLength: n, maxLength: n }), lost, (values, gone) => {
          const y = Float64Array.from(values, (v, p) => (gone.includes(p) ? NaN : v));
          const result = exactTest({ y, labels, layouts, treatments: 3, control: 0, seed: 1 });
          if (result.kind === 'refused') return;
          const f = all.map((layout) => slowF(y, layout, 3, factors));
          const drawn = slowF(y, labels, 3, factors);
          expect(result.p).toBeCloseTo(slowShare(f, drawn), 10);
          if (drawn < 1e9) expect(result.observed).toBeCloseTo(drawn, 6);
        }),
        { numRuns: 15, seed: 42 },
      );
    });

    it(`names the smallest p that any data of ${design.name} can give`, () => {
      // Over all layouts taken as drawn, continuous data: the largest F has the smallest share.
      const random = createRandom(5);
      let least = 1;
      for (let trial = 0; trial < 5; trial++) {
        const y = Float64Array.from({ length: n }, () => random.normal());
        const f = all.map((layout) => slowF(y, layout, 3, factors));
        least = Math.min(least, slowShare(f, Math.max(...f)));
      }
      const y = Float64Array.from({ length: n }, () => random.normal());
      expect(tested({ y, labels, layouts, treatments: 3, seed: 1 }).smallestP).toBeCloseTo(
        least,
        12,
      );
    });
  }

  it('finds the step-down maxima by hand over every layout (renamed and unrenamed walks)', () => {
    for (const design of designs.slice(0, 4)) {
      const labels = Uint8Array.from(design.labels);
      const layouts: LayoutSet = { kind: 'strata', strata: design.strata };
      const random = createRandom(11);
      const y = Float64Array.from(labels, (l) => random.normal() + l);
      const scaled = (layout: Uint8Array): number[] => slowScaled(y, layout, design.strata);
      const drawn = scaled(labels);
      const all = layoutsOf(layouts, labels).map(scaled);
      const order = drawn[0] >= drawn[1] ? [0, 1] : [1, 0];
      const reach = (x: number, over: readonly number[]) =>
        all.filter((z) => Math.max(...over.map((j) => z[j])) >= x - 1e-9).length / all.length;
      const first = reach(drawn[order[0]], order);
      const second = Math.max(first, reach(drawn[order[1]], [order[1]]));
      const result = tested({ y, labels, layouts, treatments: 3, control: 0, seed: 1 });
      const ours = result.versusControl ?? [];
      expect(ours[order[0]].pStepDown).toBeCloseTo(first, 12);
      expect(ours[order[1]].pStepDown).toBeCloseTo(second, 12);
      expect(ours[0].p).toBeCloseTo(reach(drawn[0], [0]), 12);
      expect(ours[1].p).toBeCloseTo(reach(drawn[1], [1]), 12);
    }
  });
});
