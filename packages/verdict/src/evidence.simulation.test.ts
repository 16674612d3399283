// How often does a trial without any effect end in a finding? The whole judgement is run on
// simulated trials whose truth is known; the bound is Clopper and Pearson's (95 %, one side).
import { betaQuantile, createRandom, type Random } from '@fairbed/stats';
import type { Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { type ScoredPlot, scoredTrial } from '../gallery/scored-trial';
import { judge } from './judge';

type Plan = { readonly treatments: number; readonly blocks: number };

/** A scored trial in randomised blocks with the given plot values. */
function trialOf(
  { treatments, blocks }: Plan,
  random: Random,
  value: (t: number, b: number) => number,
): Trial {
  const names = Array.from({ length: treatments }, (_, t) => `T${t}`);
  const plots: ScoredPlot[] = [];
  for (let b = 0; b < blocks; b++) {
    const order = names.map((_, t) => t);
    random.shuffle(order);
    order.forEach((t, place) =>
      plots.push({
        id: `${b}-${place}`,
        treatment: names[t],
        block: `B${b}`,
        severity: value(t, b),
      }),
    );
  }
  return scoredTrial('randomised-blocks', plots);
}

/** Severity of plots: blocks differ, plots within them vary the more the sicker they are (skewed). */
const severity = (random: Random, factor: (t: number) => number) => {
  const block = new Map<number, number>();
  return (t: number, b: number): number => {
    if (!block.has(b)) block.set(b, 0.4 * random.normal());
    return Math.min(100, 25 * factor(t) * Math.exp((block.get(b) ?? 0) + 0.5 * random.normal()));
  };
};

const atLeast = (hits: number, trials: number) =>
  hits === 0 ? 0 : betaQuantile(0.05, hits, trials - hits + 1);

function countFindings(plan: Plan, trials: number, factor: (t: number) => number) {
  const random = createRandom(20260711);
  const found = { any: 0, better: 0, wrong: 0 };
  for (let i = 0; i < trials; i++) {
    const { verdict } = judge(trialOf(plan, random, severity(random, factor)), {
      brief: true,
      withoutModels: true,
    });
    const finding = verdict.grade === 'fair' || verdict.grade === 'firm';
    if (!finding || verdict.sentence.startsWith('No treatment')) continue;
    found.any++;
    if (verdict.sentence.includes('less disease')) found.better++;
    if (!verdict.sentence.startsWith('T1 ')) found.wrong++;
  }
  return found;
}

describe('the verdict on simulated trials', () => {
  it('a trial without any effect ends fair or firm in at most 5 % (4 x 4, 1,000 trials)', () => {
    const { any } = countFindings({ treatments: 4, blocks: 4 }, 1000, () => 1);
    // Not above 5 % by more than chance explains; and a test that can fail: 7 % would.
    expect(atLeast(any, 1000), `${any} of 1000`).toBeLessThanOrEqual(0.05);
  });

  it('with one treatment that works, it is often found and the others seldom named (4 x 4, 400 trials)', () => {
    const { better, wrong } = countFindings({ treatments: 4, blocks: 4 }, 400, (t) =>
      t === 1 ? 0.1 : 1,
    );
    // Plots this uneven (half as large again, or half) in four blocks leave few trials decided.
    expect(better).toBeGreaterThan(100);
    expect(atLeast(wrong, 400), `${wrong} of 400`).toBeLessThanOrEqual(0.05);
  });
});
