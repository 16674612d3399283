import { describe, expect, it } from 'vitest';
import { readTrialText, type Trial } from '@fairbed/trial';
import { readFileSync } from 'node:fs';
import { judge } from './judge';
import type { MethodResult } from './judgement';
import { besideOf, claimsByMethod } from './method';
import type { Claim } from './evidence';

// The invented demo trial in blocks.
const chard: Trial = (() => {
  const url = new URL('../../../data/demo/chard-leaf-spot.json', import.meta.url);
  const read = readTrialText(readFileSync(url, 'utf8'));
  if (!read.ok) throw new Error(read.problems.map(({ what }) => what).join('; '));
  return read.trial;
})();

const result = (over: Partial<MethodResult['versusControl'][number]> = {}): MethodResult => ({
  method: 'leaves',
  title: 'Leaves, counted',
  says: 'B had fewer diseased leaves.',
  measure: 'odds ratio',
  none: 1,
  p: 0.01,
  versusControl: [
    { name: 'B', estimate: 0.4, low: 0.2, high: 0.8, p: 0.01, better: true, ...over },
  ],
  notes: [],
});

const plotClaim: Claim = {
  name: 'B',
  benefit: 50,
  low: 20,
  high: 80,
  gain: 10,
  pModel: 0.2,
  pExact: 0.03,
};

describe('the claims of another method', () => {
  it('keep how much less there was by the plots, with the p of the method', () => {
    expect(claimsByMethod(result(), [plotClaim])).toEqual([{ ...plotClaim, pModel: 0.01 }]);
    expect(claimsByMethod(result({ pExact: 0.002 }), [plotClaim])[0].pExact).toBe(0.002);
  });

  it('tell nothing apart where the two lie on different sides', () => {
    const [claim] = claimsByMethod(result({ better: false, estimate: 2 }), [plotClaim]);
    expect([claim.pModel, claim.pExact]).toEqual([null, null]);
  });

  it('stand by themselves where there are no plot values', () => {
    const [claim] = claimsByMethod(result({ pExact: 0.04 }), []);
    expect(claim).toMatchObject({ pModel: 0.01, pExact: 0.04, benefit: null });
    expect(claim.gain).toBeCloseTo(Math.log(2.5), 12);
  });
});

describe('a second method beside the first', () => {
  const firm: Claim = { ...plotClaim, pModel: 0.001, pExact: 0.001 };

  it('is shown where it calls a treatment otherwise', () => {
    expect(besideOf([firm], [result()])).toBeUndefined();
    expect(besideOf([firm], [result({ p: 0.3 })])?.method).toBe('leaves');
    expect(besideOf([plotClaim], [result()])?.method).toBe('leaves');
    expect(besideOf([firm], [result({ better: false })])?.method).toBe('leaves');
  });
});

describe('which method decides', () => {
  const brief = { brief: true, outcome: 'incidence-last' } as const;

  it('is one value a plot, unless it is asked otherwise', () => {
    const { method } = judge(chard, brief);
    expect(method).toMatchObject({ used: 'plots', asked: false });
    expect(method!.offered.map(({ id }) => id)).toEqual(['plots', 'leaves', 'weeks']);
    const asked = judge(chard, { ...brief, method: 'leaves' });
    expect(asked.method).toMatchObject({ used: 'leaves', asked: true });
    expect(asked.method!.rule).toContain('By the rule it would be: one value a plot.');
  });

  it('is what the plan says', () => {
    const planned: Trial = { ...chard, plan: { ...chard.plan, judgedBy: 'leaves' } };
    expect(judge(planned, brief).method).toMatchObject({ used: 'leaves', asked: false });
    expect(judge(planned, { ...brief, method: 'plots' }).method).toMatchObject({
      used: 'plots',
      asked: true,
    });
  });

  it('does not hang on what a method finds: a method the data can’t carry is not offered', () => {
    const other = judge(chard, { brief: true, method: 'grades' });
    expect(other.method).toMatchObject({ used: 'plots', asked: false });
  });
});
