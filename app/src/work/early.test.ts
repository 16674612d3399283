import { readdirSync, readFileSync } from 'node:fs';
import { readTrial, type Trial } from '@fairbed/trial';
import { judge } from '@fairbed/verdict';
import { describe, expect, it } from 'vitest';
import { plainly, quickly } from './ask';
import { beginEarly } from './early';
import { firstOf, nameOf } from './first';

const folder = new URL('../../../data/demo/', import.meta.url);
const demos = readdirSync(folder)
  .filter((file) => file.endsWith('.json') && !file.includes('truth'))
  .map((file): [string, Trial] => {
    const read = readTrial(JSON.parse(readFileSync(new URL(file, folder), 'utf8')));
    if (!read.ok) throw new Error(`${file} is not a trial.`);
    return [file, read.trial];
  });

const turns = async (): Promise<void> => {
  await new Promise((resolve) => setTimeout(resolve));
  await new Promise((resolve) => setTimeout(resolve));
};

describe('the answer that is shown first', () => {
  it.each(demos)('is the whole one, word for word: %s', (_file, trial) => {
    const whole = judge(trial, {}).verdict;
    for (const soon of [quickly({}), plainly({})]) {
      expect(judge(trial, soon).verdict).toEqual(whole);
    }
  });
});

describe('a first question', () => {
  it('goes by the name of a worker and comes back whole', () => {
    const first = { id: 'böhnen "2026"', ask: quickly({ outcome: 'incidence-last' }) };
    expect(firstOf(nameOf(first))).toEqual(first);
  });

  it('is missing from a worker that has no name', () => {
    expect(firstOf(nameOf(undefined))).toBeUndefined();
  });
});

describe('work begun early', () => {
  const [, leek] = demos.find(([file]) => file.startsWith('leek')) ?? ['', undefined];
  if (leek === undefined) throw new Error('The demo of leeks is gone.');
  const ask = quickly({});

  it('reads its trial for the first who asks, and for nobody after', async () => {
    let readings = 0;
    const early = beginEarly(
      { id: 'leek', ask },
      () => {
        readings += 1;
        return Promise.resolve(leek);
      },
      judge,
    );
    expect(early.reading('chard')).toBeUndefined();
    expect(await early.reading('leek')).toBe(leek);
    expect(early.reading('leek')).toBeUndefined();
    expect(readings).toBe(1);
  });

  it('answers the same question about the same trial only', async () => {
    const early = beginEarly({ id: 'leek', ask }, () => Promise.resolve(leek), judge);
    await early.reading('leek');
    await turns();
    expect(early.answer(leek, ask)).toEqual(judge(leek, ask));
    expect(early.answer(leek, {})).toBeUndefined();
    expect(early.answer({ ...leek }, ask)).toBeUndefined();
  });

  it('is left to whoever asks before it was begun', async () => {
    const early = beginEarly({ id: 'leek', ask }, () => Promise.resolve(leek), judge);
    expect(early.answer(leek, ask)).toBeUndefined();
    await turns();
    expect(early.answer(leek, ask)).toBeUndefined();
  });

  it('leaves what is wrong to be met when the question is asked', async () => {
    const early = beginEarly(
      { id: 'leek', ask: { control: 'nobody' } },
      () => Promise.resolve(leek),
      judge,
    );
    await turns();
    expect(early.answer(leek, { control: 'nobody' })).toBeUndefined();
    const gone = beginEarly(
      { id: 'leek', ask },
      () => Promise.reject(new Error('Not there.')),
      judge,
    );
    await expect(gone.reading('leek')).rejects.toThrow('Not there.');
  });
});
