// The invented demo trial with a plan of more rounds than were held: what may be said before the end.
import { readFileSync } from 'node:fs';
import { readTrialText, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { judge, JudgeError } from './judge';

const chard: Trial = (() => {
  const url = new URL('../../../data/demo/chard-leaf-spot.json', import.meta.url);
  const read = readTrialText(readFileSync(url, 'utf8'));
  if (!read.ok) throw new Error(read.problems.map(({ what }) => what).join('; '));
  return read.trial;
})();

const first = chard.rounds[0]?.day;
const planned = (count: number, looks?: NonNullable<Trial['plan']>['looks']): Trial => ({
  ...chard,
  plan: {
    ...chard.plan,
    rounds: { count, everyDays: 7, ...(first ? { firstDay: first } : {}) },
    ...(looks ? { looks } : {}),
  },
});
const brief = { brief: true } as const;
const grade = (trial: Trial, look?: string): string =>
  judge(trial, { ...brief, ...(look ? { look } : {}) }).verdict.grade;

describe('a verdict before the last planned round [V11]', () => {
  it('is a hint at most where the plan says nothing of looks, and says why', () => {
    expect(grade(chard)).toBe('fair');
    const early = judge(planned(8), brief);
    expect(early.verdict.grade).toBe('a hint');
    expect(early.verdict.cautions[0]).toContain('Rounds of the plan are still to come');
    expect(grade(planned(6))).toBe('fair');
  });

  it('may come where the plan looks on the way and the look passed its bound', () => {
    const looked = planned(8, { spending: 'late' });
    const { verdict, looks } = judge(looked, brief);
    expect(looks?.at(-1)?.stop).toBe(true);
    expect(verdict.grade).toBe('fair');
    expect(grade(looked, 'r1')).toBe('no answer');
  });

  it('does not come before the first planned look, whatever the plots show', () => {
    const late = planned(8, { spending: 'late', rounds: [7, 8] });
    expect(judge(late, brief).looks).toBeUndefined();
    expect(grade(late)).toBe('a hint');
  });

  it('weighs the last look by all looks, and tells the p-values as they are', () => {
    const ended = judge(planned(6, { spending: 'late' }), brief);
    const single = judge(planned(6), brief);
    const told = (judgement: typeof ended): string => judgement.verdict.reasons[0] ?? '';
    const dunnett = /p [\d.]+ by Dunnett's test/.exec(told(single))?.[0];
    expect(dunnett).toBeDefined();
    expect(told(ended)).toContain(dunnett);
  });
});

describe('a control that stands in no plot', () => {
  const bare: Trial = {
    ...chard,
    treatments: [...chard.treatments, { id: 'bare', name: 'Bare soil', kind: 'untreated' }],
    control: 'bare',
  };

  it('gives way to one that does, and says so', () => {
    const { control, verdict } = judge(bare, brief);
    expect(control).toBe(chard.treatments[0]?.name);
    expect(verdict.cautions.join(' ')).toContain('No control was named that stands in a plot');
  });

  it('can’t be asked for', () => {
    expect(() => judge(bare, { ...brief, control: 'bare' })).toThrow(JudgeError);
  });
});
