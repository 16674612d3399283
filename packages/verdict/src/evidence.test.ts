import { describe, expect, it } from 'vitest';
import { type Claim, type EvidenceInput, weigh } from './evidence';

const claim = (over: Partial<Claim> = {}): Claim => ({
  name: 'copper',
  benefit: 40,
  low: 12,
  high: 68,
  gain: 120,
  pModel: 0.004,
  pExact: 0.006,
  ...over,
});

const input = (over: Partial<EvidenceInput> = {}): EvidenceInput => ({
  replicated: true,
  randomised: true,
  peakDisease: 42,
  claims: [claim()],
  smallestP: 0.0001,
  fewestPlots: 4,
  lostShare: 0,
  strippingHides: false,
  worthHavingPercent: 30,
  ...over,
});

describe('the rules of evidence (docs/evidence.md)', () => {
  it('[V1] never judges one plot of each treatment, whatever its figures', () => {
    const found = weigh(input({ replicated: false }));
    expect(found).toMatchObject({ grade: 'no answer', finding: 'unreplicated', better: [] });
  });

  it('[V2] gives no answer where the control never reached 5 %', () => {
    expect(weigh(input({ peakDisease: 4.9 })).finding).toBe('hardly-any-disease');
    expect(weigh(input({ peakDisease: 5 })).grade).toBe('firm');
    expect(weigh(input({ peakDisease: undefined })).grade).toBe('firm');
  });

  it('[V3] says that nothing was worth having when every interval leaves it out', () => {
    const small = claim({ benefit: 3, low: -8, high: 14, pModel: 0.8, pExact: 0.7 });
    const found = weigh(input({ claims: [small, { ...small, name: 'tea', high: 29.9 }] }));
    expect(found).toMatchObject({ grade: 'fair', finding: 'none-worth-having' });
    const open = weigh(input({ claims: [small, { ...small, name: 'tea', high: 30 }] }));
    expect(open).toMatchObject({ grade: 'no answer', finding: 'unclear' });
  });

  it('[V4] takes one kind of test alone for a hint at most', () => {
    expect(weigh(input({ claims: [claim({ pExact: null })] })).grade).toBe('a hint');
    expect(weigh(input({ claims: [claim({ pModel: null })] })).grade).toBe('a hint');
    // Two treatments in four blocks can't do better than 0.125, so the layout can't decide.
    expect(weigh(input({ smallestP: 0.125, claims: [claim({ pExact: 0.125 })] })).grade).toBe(
      'a hint',
    );
    expect(
      weigh(input({ smallestP: 0.125, claims: [claim({ pModel: 0.06, pExact: 0.125 })] })).grade,
    ).toBe('no answer');
  });

  it('[V5] lets the larger of the two p-values count', () => {
    expect(weigh(input({ claims: [claim({ pModel: 0.05, pExact: 0.001 })] })).grade).toBe('fair');
    expect(weigh(input({ claims: [claim({ pModel: 0.001, pExact: 0.05 })] })).grade).toBe('fair');
  });

  it('[V6] is firm only with both p up to 0.01 and four plots of each treatment', () => {
    expect(weigh(input()).grade).toBe('firm');
    expect(weigh(input({ claims: [claim({ pExact: 0.011 })] })).grade).toBe('fair');
    expect(weigh(input({ fewestPlots: 3 })).grade).toBe('fair');
  });

  it('[V7] calls a near miss a hint and anything above no answer', () => {
    expect(weigh(input({ claims: [claim({ pModel: 0.09, pExact: 0.1 })] })).grade).toBe('a hint');
    expect(weigh(input({ claims: [claim({ pModel: 0.3, pExact: 0.05 })] })).grade).toBe('a hint');
    expect(weigh(input({ claims: [claim({ pModel: 0.11, pExact: 0.06 })] })).grade).toBe(
      'no answer',
    );
  });

  it('[V8] holds chosen places down to a hint', () => {
    expect(weigh(input({ randomised: false })).grade).toBe('a hint');
    expect(weigh(input({ randomised: undefined })).grade).toBe('firm');
  });

  it('[V9] holds an outcome that stripping lowers down to a hint', () => {
    expect(weigh(input({ strippingHides: true })).grade).toBe('a hint');
  });

  it('[V10] holds a trial with more than a fifth of its plots lost down to fair', () => {
    expect(weigh(input({ lostShare: 0.21 })).grade).toBe('fair');
    expect(weigh(input({ lostShare: 0.2 })).grade).toBe('firm');
  });

  it('names the firmest first, gives each treatment its own step, and keeps losses apart', () => {
    const found = weigh(
      input({
        claims: [
          claim({ name: 'tea', gain: 300, pModel: 0.04, pExact: 0.03 }),
          claim({ name: 'copper', gain: 120 }),
          claim({ name: 'oil', gain: -90, pModel: 0.02, pExact: 0.02 }),
          claim({ name: 'water', gain: 5, pModel: 0.9, pExact: 0.9 }),
        ],
      }),
    );
    expect(found.finding).toBe('better');
    expect(found.better).toEqual([
      { name: 'copper', grade: 'firm' },
      { name: 'tea', grade: 'fair' },
    ]);
    expect(found.worse).toEqual([{ name: 'oil', grade: 'fair' }]);
  });
});

describe('looking before the end [V11]', () => {
  const early = (names: readonly string[]) =>
    weigh(input({ claims: [claim({ pModel: 0.001, pExact: 0.001 })], stops: new Set(names) }));

  it('gives a hint at most until the look passes its bound', () => {
    expect(early([])).toMatchObject({ grade: 'a hint', rules: ['V11'] });
    expect(early(['another']).grade).toBe('a hint');
  });

  it('says what the tests say once it has', () => {
    const [name] = early([]).better.map((one) => one.name);
    expect(early([name]).grade).toBe('firm');
  });

  it('makes no hint of nothing', () => {
    const nothing = weigh(
      input({ claims: [claim({ pModel: 0.6, pExact: 0.7 })], stops: new Set<string>() }),
    );
    expect(nothing.grade).toBe('no answer');
  });

  it('is no time to say that nothing is worth having', () => {
    const small = claim({ benefit: 3, low: -8, high: 14, pModel: 0.8, pExact: 0.7 });
    const found = weigh(input({ claims: [small], stops: new Set<string>() }));
    expect(found).toMatchObject({ grade: 'a hint', finding: 'none-worth-having' });
  });
});

describe('nothing worth having [V3]', () => {
  it('is said of all treatments or not at all', () => {
    const small = claim({ benefit: 3, low: -8, high: 14, pModel: 0.8, pExact: 0.7 });
    expect(weigh(input({ claims: [small], others: 1 })).finding).toBe('none-worth-having');
    expect(weigh(input({ claims: [small], others: 2 })).finding).toBe('unclear');
  });
});
