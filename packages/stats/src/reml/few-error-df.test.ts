import { describe, expect, it } from 'vitest';
import { fUpper } from '../distributions/fisher';
import type { Factor } from '../linear/design';
import { createRandom } from '../random';
import { fitReml } from './fit';
import { precisionOf } from './information';
import { termTest } from './wald';

// F of mean squares is a closed form; the degrees of freedom rest on variances found by climbing.
const tol = { closedForm: 1e-6, df: 1e-6 };

type Plot = {
  readonly block: number;
  readonly practice: number;
  readonly trt: number;
  readonly y: number;
};
type Size = { readonly blocks: number; readonly practices: number; readonly within: number };

/** A balanced split plot: blocks of whole plots (practices) of plots (treatments). */
function drawn({ blocks, practices, within }: Size, seed: number): Plot[] {
  const random = createRandom(seed);
  return Array.from({ length: blocks * practices }, (_, whole) => {
    const own = 2 * random.normal();
    return Array.from({ length: within }, (__, trt): Plot => {
      const block = Math.floor(whole / practices);
      return { block, practice: whole % practices, trt, y: 20 + block + own + random.normal() };
    });
  }).flat();
}

/** Sum over plots of the squared mean of the plots alike in `by`: the uncorrected sum of squares. */
function squares(plots: readonly Plot[], by: readonly ('block' | 'practice' | 'trt')[]): number {
  const cells = new Map<string, number[]>();
  for (const plot of plots) {
    const key = by.map((name) => plot[name]).join(' ');
    cells.set(key, [...(cells.get(key) ?? []), plot.y]);
  }
  let sum = 0;
  for (const ys of cells.values()) sum += ys.reduce((a, b) => a + b, 0) ** 2 / ys.length;
  return sum;
}

/** The strata of a balanced split plot (Cochran & Cox, Experimental Designs, 7.1), from cell means. */
function classical(plots: readonly Plot[], { blocks, practices, within }: Size) {
  const of = (...by: ('block' | 'practice' | 'trt')[]): number => squares(plots, by);
  const practice = of('practice') - of();
  const whole = of('block', 'practice') - of('block') - of('practice') + of();
  const trt = of('trt') - of();
  const both = of('practice', 'trt') - of('practice') - of('trt') + of();
  const rest = of('block', 'practice', 'trt') - of('block', 'practice') - trt - both;
  const wholeDf = (blocks - 1) * (practices - 1);
  const restDf = practices * (blocks - 1) * (within - 1);
  const row = (ss: number, df: number, error: number, errorDf: number) => {
    const f = ss / df / (error / errorDf);
    return { df, errorDf, f, p: fUpper(f, df, errorDf) };
  };
  return {
    practice: row(practice, practices - 1, whole, wholeDf),
    trt: row(trt, within - 1, rest, restDf),
    both: row(both, (practices - 1) * (within - 1), rest, restDf),
  };
}

function byReml(plots: readonly Plot[], { practices, within }: Size) {
  const factor = (name: string, codeOf: (plot: Plot) => number): Factor => {
    const codes = plots.map(codeOf);
    const levels = Array.from({ length: Math.max(...codes) + 1 }, (_, i) => `${name}${i}`);
    return { kind: 'factor', name, codes, levels };
  };
  const fit = fitReml({
    y: plots.map(({ y }) => y),
    terms: [
      factor('block', ({ block }) => block),
      factor('practice', ({ practice }) => practice),
      factor('trt', ({ trt }) => trt),
      factor('both', ({ practice, trt }) => practice * within + trt),
    ],
    random: [{ name: 'whole', codes: plots.map((one) => one.block * practices + one.practice) }],
    belowZero: true,
  });
  return fit.known ? precisionOf(fit, 'kenward-roger') : undefined;
}

const sizes: readonly Size[] = [
  { blocks: 2, practices: 2, within: 2 },
  { blocks: 3, practices: 2, within: 2 },
  // Three practices tested together on 2 degrees of freedom: where theirs is 0/0.
  { blocks: 2, practices: 3, within: 2 },
  { blocks: 3, practices: 3, within: 2 },
  { blocks: 2, practices: 3, within: 3 },
];

describe.each(sizes)('$blocks blocks of $practices practices x $within', (size) => {
  it('Kenward and Roger’s tests are the classical strata', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const plots = drawn(size, seed);
      const precision = byReml(plots, size)!;
      const answers = classical(plots, size);
      for (const name of ['practice', 'trt', 'both'] as const) {
        const expected = answers[name];
        const got = termTest(precision, name)!;
        expect(got.df).toBe(expected.df);
        expect(Math.abs(got.denDf - expected.errorDf)).toBeLessThan(tol.df);
        expect(Math.abs(got.f - expected.f)).toBeLessThan(tol.closedForm * Math.max(1, expected.f));
        expect(Math.abs(got.p - expected.p)).toBeLessThan(tol.closedForm);
      }
    }
  });
});

describe('with plots lost', () => {
  it.each(sizes)(
    '$blocks x $practices x $within: a test is whole or none, never thrown',
    (size) => {
      for (let seed = 1; seed <= 2; seed++) {
        const plots = drawn(size, seed);
        for (let a = 1; a < plots.length; a++) {
          const left = plots.filter((_, i) => i !== 0 && i !== a);
          const precision = byReml(left, size);
          for (const name of precision === undefined ? [] : ['practice', 'trt', 'both']) {
            const test = termTest(precision!, name);
            if (test === undefined) continue;
            expect(test.f).toBeGreaterThanOrEqual(0);
            expect(test.denDf).toBeGreaterThan(0);
            expect(test.p).toBeGreaterThanOrEqual(0);
            expect(test.p).toBeLessThanOrEqual(1);
          }
        }
      }
    },
  );
});
