import { describe, expect, it } from 'vitest';
import { clopperPearson } from '../distributions/counts';
import { createRandom } from '../random';
import { layoutLooks } from './layout-looks';
import { alphaSpent, type Spending } from './spending';

/**
 * Trials in which no treatment does anything: 5 weekly looks at plots that carry their disease from
 * week to week, skewed as disease is. How often a look calls a treatment, against how often a plain
 * p below 0.05 turns up at some look. 20,000 trials each.
 *
 * 4 treatments in 4 blocks: every trial is held against its own layout and 98 others at random. Of
 * 99, 5 % allow 4 to be called: 4.04 % is what the looks may spend in all. 3 treatments in 3 blocks:
 * all 216 layouts, in pairs that only rename treatments; 5 pairs of 108 may be called, 4.63 %.
 */
const TRIALS = 20_000;
const LOOKS = 5;

function falseCalls({ k, draws, spending }: { k: number; draws: number; spending: Spending }) {
  const random = createRandom(k);
  const spent = Array.from({ length: LOOKS }, (_, i) =>
    alphaSpent(spending, (i + 1) / LOOKS, 0.05),
  );
  const plots = Array.from({ length: k * k }, (_, p) => p);
  const labels = Uint8Array.from(plots, (p) => p % k);
  const strata = plots.slice(0, k).map((s) => plots.filter((p) => Math.floor(p / k) === s));
  const layouts = { kind: 'strata', strata } as const;
  const counts = { called: 0, treatment: 0, plain: 0 };
  for (let trial = 0; trial < TRIALS; trial++) {
    let y = new Float64Array(plots.length);
    const looks = spent.map((may) => {
      y = y.map((before) => 0.7 * before - Math.log(1 - random.uniform()));
      return { y, spent: may };
    });
    const of = { treatments: k, control: 0, seed: random.next(), most: 200, draws };
    const result = layoutLooks({ looks, labels, layouts, ...of }).looks;
    if (result.some(({ stop }) => stop)) counts.called++;
    if (result.some(({ versusControl }) => versusControl.some(({ called }) => called)))
      counts.treatment++;
    if (result.some(({ pAlone }) => pAlone! < 0.05)) counts.plain++;
  }
  return counts;
}

describe('20,000 trials without any effect, looked at every week', () => {
  it.each([
    ['late', '4 x 4, sampled', { k: 4, draws: 98, spending: { kind: 'obrien-fleming' } }],
    ['even', '3 x 3, all layouts', { k: 3, draws: 0, spending: { kind: 'power', exponent: 1 } }],
  ] as const)(
    'spending %s calls in fewer than 5 in 100; a plain p below 0.05 in more than 10 (%s)',
    (_spending, _layout, setting) => {
      const { called, treatment, plain } = falseCalls(setting);
      expect(clopperPearson(called, TRIALS, 0.95).upper).toBeLessThan(0.05);
      // Not for want of calling.
      expect(clopperPearson(called, TRIALS, 0.999).upper).toBeGreaterThan(0.04);
      expect(treatment).toBeLessThanOrEqual(called);
      expect(clopperPearson(plain, TRIALS, 0.999).lower).toBeGreaterThan(0.1);
    },
    300_000,
  );
});
