// The invented demo trials, whose truth is known (data/demo/truth.json): is the verdict right?
import { readFileSync } from 'node:fs';
import { readTrialText, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { judge } from './judge';
import type { Outcome } from './judgement';

const text = (name: string): string =>
  readFileSync(new URL(`../../../data/demo/${name}.json`, import.meta.url), 'utf8');

function demo(name: string): Trial {
  const read = readTrialText(text(name));
  if (!read.ok) throw new Error(read.problems.map(({ what }) => what).join('; '));
  return read.trial;
}

type Truth = {
  readonly trials: readonly {
    readonly trial: string;
    readonly infectionPrevented: Readonly<Record<string, number>>;
  }[];
};

const chard = demo('chard-leaf-spot');
const truth = (JSON.parse(text('truth')) as Truth).trials.find(({ trial }) => trial === chard.id)!;
const nameOf = (id: string): string => chard.treatments.find((t) => t.id === id)!.name;
const judgement = judge(chard);
const outcome = (id: string): Outcome => judgement.outcomes.find((o) => o.id === id)!;
const less = (of: Outcome, name: string): number => {
  const mean = (n: string) => of.treatments.find((t) => t.name === n)!.mean!;
  return 100 * (1 - mean(name) / mean(judgement.control!));
};

describe('the demo in blocks: one treatment works, one was only stripped bare', () => {
  const ids = Object.entries(truth.infectionPrevented).sort(([, a], [, b]) => b - a);
  const best = nameOf(ids[0][0]);
  const stripped = nameOf('strip-hard');

  it('names the treatment that truly prevents most, and calls it fair or firm', () => {
    expect(judgement.outcomes[0].id).toBe('diseased-cumulative');
    expect(['fair', 'firm']).toContain(judgement.verdict.grade);
    expect(judgement.verdict.sentence.startsWith(best)).toBe(true);
  });

  it('does not call a plot stripped bare cured, though incidence alone would', () => {
    expect(truth.infectionPrevented['strip-hard']).toBe(0);
    // By the leaves left on the plant it looks nearly cured, and Dunnett's test on that agrees.
    const last = outcome('incidence-last');
    expect(less(last, stripped)).toBeGreaterThan(80);
    expect(last.versusControl!.find(({ name }) => name === stripped)!.p!).toBeLessThan(0.05);
    // By all diseased leaves it is not, and the verdict says so in so many words.
    expect(less(outcome('diseased-cumulative'), stripped)).toBeLessThan(20);
    expect(judgement.verdict.sentence).not.toContain(stripped);
    expect(judgement.verdict.cautions[0]).toContain(`${stripped} looks`);
    expect(judgement.verdict.cautions[0]).toContain('It was stripped, not cured.');
  });

  it('holds a verdict by incidence alone down to a hint and says why [V9]', () => {
    const misled = judge(chard, { outcome: 'incidence-last' });
    expect(misled.verdict.sentence).toContain(stripped);
    expect(misled.verdict.grade).toBe('a hint');
    expect(misled.verdict.cautions[0]).toContain('It was stripped, not cured.');
  });

  it('keeps the lost plot out of the figures and lists it as a departure', () => {
    const lost = chard.plots.find((plot) => plot.lost !== undefined)!;
    const row = judgement.outcomes[0].plots.find(({ plot }) => plot === lost.id)!;
    expect(row.value).toBeNull();
    expect(judgement.verdict.departures.join(' ')).toContain(`Plot ${lost.id} was lost`);
  });

  it('gives the same judgement twice, to the bit', () => {
    expect(JSON.stringify(judge(chard))).toBe(JSON.stringify(judgement));
  });
});

describe('the demo with one plot each', () => {
  const single = judge(demo('leek-rust-one-plot-each'));

  it('describes and gives a tipping point, never a p-value [V1]', () => {
    expect(single.design.kind).toBe('unreplicated');
    expect(single.verdict.grade).toBe('no answer');
    for (const each of single.outcomes) {
      expect(each.anova).toBeUndefined();
      expect(each.versusControl).toBeUndefined();
      expect(each.exact).toBeUndefined();
    }
    expect(JSON.stringify(single)).not.toMatch(/"(p|pStepDown|smallestP)":\d/);
    expect(single.outcomes[0].tippingPoint!.length).toBeGreaterThan(0);
  });
});

describe('the short judgement', () => {
  it.each(['chard-leaf-spot', 'leek-rust-one-plot-each'])(
    'says of %s what the long one says',
    (name) => {
      const [short, long] = [judge(demo(name), { brief: true }), judge(demo(name))];
      expect(short.verdict.sentence).toBe(long.verdict.sentence);
      expect(short.verdict.grade).toBe(long.verdict.grade);
      expect(short.outcomes[0]).toEqual(long.outcomes[0]);
      expect(short.outcomes.length).toBeLessThan(long.outcomes.length);
    },
  );
});
