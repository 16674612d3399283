import { readFileSync } from 'node:fs';
import { readTrial, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { createJudge, judge } from './judge';
import type { JudgeOptions } from './options';
import { createMemory } from './remember';

function demo(name: string): Trial {
  const path = new URL(`../../../data/demo/${name}.json`, import.meta.url);
  const read = readTrial(JSON.parse(readFileSync(path, 'utf8')));
  if (!read.ok) throw new Error(`${name} is not a trial.`);
  return read.trial;
}

describe('a memory', () => {
  it('makes a thing once under one key, and anew under another', () => {
    const recall = createMemory();
    let made = 0;
    const make = () => ({ turn: ++made });
    const first = recall(['a', 1], make);
    expect(recall(['a', 1], make)).toBe(first);
    expect(recall(['a', '1'], make)).not.toBe(first);
    expect(made).toBe(2);
  });

  it('keeps what is not there as well as what is', () => {
    const recall = createMemory();
    let made = 0;
    const nothing = (): undefined => {
      made++;
      return undefined;
    };
    recall(['a'], nothing);
    recall(['a'], nothing);
    expect(made).toBe(1);
  });

  it('lets the oldest go and keeps no fault', () => {
    const recall = createMemory(2);
    let made = 0;
    for (const key of ['a', 'b', 'c', 'b', 'a']) recall([key], () => ++made);
    expect(made).toBe(4);
    const fail = (): number => {
      throw new Error('no');
    };
    expect(() => recall(['d'], fail)).toThrow('no');
    expect(recall(['d'], () => 7)).toBe(7);
  });
});

describe('a judge that remembers', () => {
  it('says what one without memory says, whatever was asked before', () => {
    const trial = demo('chard-leaf-spot');
    const rounds = trial.rounds.map(({ id }) => id);
    const asked: readonly JudgeOptions[] = [
      { brief: true },
      {},
      { worthHavingPercent: 10 },
      { outcome: 'incidence-last' },
      { outcome: 'incidence-last', control: trial.treatments[1]?.id ?? '' },
      { outcome: 'incidence-last', look: rounds.at(-2) ?? '', brief: true },
      { outcome: 'incidence-last', look: rounds.at(-1) ?? '', withoutModels: true },
      { outcome: 'incidence-last', seed: 2, brief: true },
      { withoutModels: true },
    ];
    const remembering = createJudge(trial);
    for (const options of asked) expect(remembering(options)).toEqual(judge(trial, options));
  }, 60_000);

  it('refuses what one without memory refuses', () => {
    const remembering = createJudge(demo('leek-rust-one-plot-each'));
    expect(() => remembering({ look: 'never' })).toThrow(/no round never/);
    expect(() => remembering({ control: 'nobody' })).toThrow(/nobody/);
  });
});
