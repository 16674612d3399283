// The invented demo in blocks, and small trials made here whose plan is known.
import { readFileSync } from 'node:fs';
import { readTrialText, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { judge } from './judge';
import { layoutFor } from './layout';
import { earliestStop, lookPlanOf, recommendedSpending } from './look-plan';
import { type Looks, type LooksInput, looksOf } from './looks';
import { plotTable } from './table';

const tol = {
  /** Four standard errors of a share of 4,999 draws, at its widest. */
  sampled: 4 * Math.sqrt(0.25 / 4_999),
  rounding: 1e-9,
};

function demo(): Trial {
  const path = new URL('../../../data/demo/chard-leaf-spot.json', import.meta.url);
  const read = readTrialText(readFileSync(path, 'utf8'));
  if (!read.ok) throw new Error(read.problems.map(({ what }) => what).join('; '));
  return read.trial;
}

const chard = demo();

function inputOf(trial: Trial, more: Partial<LooksInput> = {}): LooksInput {
  const table = plotTable(trial, trial.control ?? '');
  const layout = layoutFor(trial, table);
  return { trial, table, layout, outcome: 'diseased-cumulative', seed: 1, ...more };
}

function looks(trial: Trial, more: Partial<LooksInput> = {}) {
  const found = looksOf(inputOf(trial, more));
  if (!found.known) throw new Error(found.why);
  return { ...found.value, notes: found.notes };
}

const planned = (plan: Trial['plan'], rounds = chard.rounds): Trial => ({
  ...chard,
  rounds: [...rounds],
  scores: chard.scores.filter(({ round }) => rounds.some(({ id }) => id === round)),
  plan,
});
const weekly = { count: 6, everyDays: 7, firstDay: '2026-06-01' as const };
const plan = (more: object = {}) => ({ rounds: weekly, ...more }) as NonNullable<Trial['plan']>;

const bacillus = 'Bacillus amyloliquefaciens';

describe('looks at the demo', () => {
  const whole = looks(chard);

  it('stop for the treatment that works, before the end, and for no other', () => {
    const first = whole.looks.findIndex(({ stop }) => stop);
    expect(first).toBeGreaterThan(0);
    expect(first).toBeLessThan(5);
    for (const { name, stop } of whole.looks[5].versusControl) expect(stop).toBe(name === bacillus);
  });

  it('keep what may be spent: used is never above it, and stop means p within it', () => {
    for (const { alphaSpent, alphaUsed, p, stop, pAlone } of whole.looks) {
      expect(alphaUsed).toBeLessThanOrEqual(alphaSpent);
      expect(stop).toBe(p <= alphaSpent + tol.rounding);
      expect(pAlone).toBeGreaterThan(0);
    }
    expect(whole.looks[5].alphaSpent).toBe(0.05);
    expect(whole.alphaLeft).toBeCloseTo(0.05 - whole.looks[5].alphaUsed, 12);
  });

  it('the last look alone is the step-down test of the judgement', () => {
    const exact = judge(chard, { withoutModels: true }).outcomes[0].exact!;
    const p = Math.min(...exact.versusControl.map(({ pStepDown }) => pStepDown!));
    expect(Math.abs(whole.looks[5].pAlone - p)).toBeLessThan(tol.sampled);
    const outcome = judge(chard, { withoutModels: true }).outcomes[0];
    for (const { name, difference, low, high } of whole.looks[5].versusControl) {
      const same = outcome.versusControl!.find((one) => one.name === name)!;
      expect(difference).toBeCloseTo(same.difference!, 9);
      // Limits that hold at every look are wider than those of one.
      expect(low!).toBeLessThan(same.low!);
      expect(high!).toBeGreaterThan(same.high!);
    }
  });

  it('do not change when more rounds follow', () => {
    const then = looks(chard, { look: 'r4' });
    expect(then.looks).toEqual(whole.looks.slice(0, 4));
    expect(then.toCome).toBe(2);
    expect(then.alphaLeft).toBeGreaterThan(0.03);
  });

  it('say that nobody planned them, and where the first stop can be', () => {
    expect(whole.planned).toBe(false);
    expect(whole.notes[0]).toContain('No number of rounds was planned');
    expect(whole.earliestRound).toBe(2);
    expect(whole.notes.join(' ')).toContain('no look before round 2');
  });

  it('are plain JSON', () => {
    expect(JSON.parse(JSON.stringify(whole))).toEqual(whole);
    expect(looks(chard)).toEqual(whole);
  });

  it('an outcome that needs two rounds is not looked at after one, and nothing is spent there', () => {
    const area = looks(chard, { outcome: 'audpc-incidence', withoutLimits: true });
    expect(area.looks.map(({ number }) => number)).toEqual([2, 3, 4, 5, 6]);
    expect(area.notes.join(' ')).toContain('After round 1 the outcome can’t be worked out yet');
    expect(area.looks[0].versusControl[0]).toMatchObject({ low: null, high: null });
  });
});

describe('looks by a plan', () => {
  it('spend by the planned rounds, late unless the plan says otherwise', () => {
    const some = looks(planned(plan(), chard.rounds.slice(0, 3)));
    expect(some).toMatchObject({ planned: true, spending: recommendedSpending, of: 6, toCome: 3 });
    expect(some.notes.join(' ')).not.toContain('planned');
    const early = looks(planned(plan({ looks: { spending: 'early' } })));
    const even = looks(planned(plan({ looks: { spending: 'even' } })));
    const spent = (of: Looks): number => of.looks[1].alphaSpent;
    expect(spent(early)).toBeGreaterThan(spent(even));
    expect(spent(even)).toBeGreaterThan(spent(some));
    expect(spent(even)).toBeCloseTo(0.05 / 3, 12);
  });

  it('only after the rounds that the plan names', () => {
    const two = looks(planned(plan({ looks: { spending: 'even', rounds: [3, 6] } })));
    expect(two.looks.map(({ round }) => round)).toEqual(['r3', 'r6']);
    expect(two.looks[0].alphaSpent).toBeCloseTo(0.025, 12);
    expect(two).toMatchObject({ of: 2, toCome: 0 });
  });

  it('leave out a planned round that was not held, and one before any treatment', () => {
    const missed = looks(
      planned(
        plan(),
        chard.rounds.filter(({ id }) => id !== 'r3'),
      ),
    );
    expect(missed.looks.map(({ number }) => number)).toEqual([1, 2, 4, 5, 6]);
    const before = chard.rounds.map((r) => (r.id === 'r1' ? { ...r, baseline: true } : r));
    const baseline = looks(planned(plan(), before));
    expect(baseline.looks.map(({ round }) => round)).toEqual(['r2', 'r3', 'r4', 'r5', 'r6']);
    expect(baseline.looks[0].alphaSpent).toBe(missed.looks[1].alphaSpent);
  });

  it('match rounds without dates in their order', () => {
    const undated = chard.rounds.map(({ id }) => ({ id }));
    const timeline = {
      rounds: undated,
      days: [0, 1, 2, 3, 4, 5],
      clock: 'order',
      notes: [],
    } as const;
    const { looks: all } = lookPlanOf({ ...chard, plan: plan() }, timeline);
    expect(all.map(({ round }) => round?.id)).toEqual(['r1', 'r2', 'r3', 'r4', 'r5', 'r6']);
    expect(all.map(({ information }) => information)[2]).toBe(0.5);
  });
});

describe('no looks', () => {
  it('without a layout to hold them against, or before anything was scored', () => {
    const input = inputOf(chard);
    const none = looksOf({ ...input, layout: { ...input.layout, set: undefined } });
    expect(none).toMatchObject({ known: false });
    const single = chard.plots.filter(({ block }) => block === '1');
    const ids = new Set(single.map(({ id }) => id));
    const scores = chard.scores.filter(({ plot }) => ids.has(plot));
    expect(looksOf(inputOf({ ...chard, plots: single, plants: [], scores }))).toMatchObject({
      known: false,
      why: expect.stringContaining('One plot of each') as string,
    });
    const nothing = looksOf(inputOf({ ...chard, scores: [] }));
    expect(nothing).toMatchObject({ known: false });
  });
});

describe('what can be said when planning', () => {
  it('two treatments in four blocks can never stop', () => {
    const never = earliestStop({ smallestP: 0.125, rounds: 6 });
    expect(never.round).toBeUndefined();
    expect(never.says).toContain('too small');
  });

  it('the round at which stopping begins, by the spending', () => {
    const at = (smallestP: number, spending: 'late' | 'early' | 'even') =>
      earliestStop({ smallestP, rounds: 5, looks: { spending } });
    // Four treatments in four blocks: 6 of 20,736. Late spends 1.1e-6, then 0.00079 by round 2.
    expect(at(6 / 20_736, 'late').round).toBe(2);
    expect(at(6 / 20_736, 'early').round).toBe(1);
    expect(at(6 / 20_736, 'early').says).toContain('first look');
    // Two treatments in six blocks: 2 of 64. Late has spent 0.031 only after the last round but one.
    expect(at(2 / 64, 'late').round).toBe(5);
    expect(at(2 / 64, 'late').says).toContain('before the last');
    expect(at(2 / 64, 'even').round).toBe(4);
  });

  it('counts the rounds that are looked at', () => {
    const looks = { spending: 'even', rounds: [2, 4] } as const;
    expect(
      earliestStop({ smallestP: 0.03, rounds: 6, looks: { ...looks, rounds: [2, 4] } }).round,
    ).toBe(4);
    expect(
      earliestStop({ smallestP: 0.02, rounds: 6, looks: { ...looks, rounds: [2, 4] } }).round,
    ).toBe(2);
  });
});
