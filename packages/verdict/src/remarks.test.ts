import type { Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { scoredTrial } from '../gallery/scored-trial';
import { judge } from './judge';

/** Twenty treatments in twenty-five blocks of four: correlations that no common factor explains. */
function entangled(): Trial {
  const plots = Array.from({ length: 100 }, (_, i) => {
    const block = Math.floor(i / 4);
    // Each block holds four treatments, spread so that every treatment meets many others.
    const t = (block * 7 + (i % 4) * (1 + (block % 5)) * 3 + (i % 4)) % 20;
    return { id: `p${i}`, treatment: `T${t}`, block: `B${block}`, severity: 20 + ((i * 37) % 41) };
  });
  return scoredTrial('incomplete-blocks', plots);
}

describe('cautions', () => {
  it('say where Dunnett could not be computed closely, and only there', () => {
    const { cautions } = judge(entangled(), { brief: true }).verdict;
    expect(cautions.some((text) => text.includes('Dunnett'))).toBe(true);
    const trial = entangled();
    const blocks = {
      ...trial,
      design: { kind: 'completely-randomised' as const, randomised: true },
    };
    const plain = { ...blocks, plots: trial.plots.map(({ id, treatment }) => ({ id, treatment })) };
    const told = judge(plain, { brief: true }).verdict.cautions;
    expect(told.some((text) => text.includes("Dunnett's p"))).toBe(false);
  });
});
