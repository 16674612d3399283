import { describe, expect, it } from 'vitest';
import { createAhead } from './ahead';
import type { Ask } from './ask';
import type { Hand } from './foreman';

type Job = { readonly resolve: (value: unknown) => void; readonly reject: (why: Error) => void };

/** A worker that answers when it is told to. */
function handAtCall() {
  const jobs: Job[] = [];
  let stopped = 0;
  const hand: Hand = {
    ask: <T>() =>
      new Promise<T>((resolve, reject) => {
        jobs.push({ resolve: resolve as (value: unknown) => void, reject });
      }),
    stop: () => {
      stopped += 1;
      for (const { reject } of jobs) reject(new Error('Stopped.'));
    },
  };
  return { hand, jobs, stopped: () => stopped };
}

const turn = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));
const outcome = (id: string): Ask => ({ outcome: id, brief: true });

describe('work ahead', () => {
  it('takes one question after the other and says which', async () => {
    const { hand, jobs } = handAtCall();
    const begun: Ask[] = [];
    const ahead = createAhead(
      'x',
      () => undefined,
      () => hand,
    );
    ahead.work([outcome('a'), outcome('b')], (ask) => begun.push(ask));
    expect(jobs).toHaveLength(1); // opens the trial
    jobs[0]?.resolve(undefined);
    await turn();
    expect(begun).toEqual([outcome('a')]);
    jobs[1]?.resolve(undefined);
    await turn();
    expect(begun).toEqual([outcome('a'), outcome('b')]);
  });

  it('drops what is no longer near, and passes over a fault', async () => {
    const { hand, jobs } = handAtCall();
    const begun: Ask[] = [];
    const keep = (ask: Ask): void => void begun.push(ask);
    const ahead = createAhead(
      'x',
      () => undefined,
      () => hand,
    );
    ahead.work([outcome('a'), outcome('b')], keep);
    jobs[0]?.resolve(undefined);
    await turn();
    ahead.work([outcome('c')], keep);
    await turn();
    jobs[1]?.reject(new Error('This trial can’t give the outcome a.'));
    await turn();
    expect(begun).toEqual([outcome('a'), outcome('c')]);
  });

  it('hires nobody for nothing, and does nothing once stopped', async () => {
    const { hand, jobs, stopped } = handAtCall();
    let hired = 0;
    const ahead = createAhead(
      'x',
      () => undefined,
      () => {
        hired += 1;
        return hand;
      },
    );
    ahead.work([], () => undefined);
    expect(hired).toBe(0);
    ahead.work([outcome('a')], () => undefined);
    ahead.stop();
    await turn();
    ahead.work([outcome('b')], () => undefined);
    await turn();
    expect([hired, stopped(), jobs.length]).toEqual([1, 1, 1]);
  });

  it('opens the trial anew where it could not be opened', async () => {
    const hands = [handAtCall(), handAtCall()];
    const waiting = hands.map(({ hand }) => hand);
    const ahead = createAhead(
      'x',
      () => undefined,
      () => {
        const next = waiting.shift();
        if (next === undefined) throw new Error('Too many were hired.');
        return next;
      },
    );
    const first = ahead.answer({ outcome: 'a' }, () => undefined);
    hands[0]?.jobs[0]?.reject(new Error('No room.'));
    await expect(first).rejects.toThrow('No room.');
    await turn();
    const again = ahead.answer({ outcome: 'a' }, () => undefined);
    hands[1]?.jobs[0]?.resolve(undefined);
    await turn();
    hands[1]?.jobs[1]?.resolve('the answer');
    expect(await again).toBe('the answer');
    expect(hands.map(({ stopped }) => stopped())).toEqual([1, 0]);
  });

  it('answers what was asked before it goes, and begins nothing unasked', async () => {
    const { hand, jobs, stopped } = handAtCall();
    const begun: Ask[] = [];
    const ahead = createAhead(
      'x',
      () => undefined,
      () => hand,
    );
    const coming = ahead.answer({ outcome: 'a' }, () => undefined);
    jobs[0]?.resolve(undefined);
    await turn();
    ahead.retire();
    ahead.work([outcome('b')], (ask) => void begun.push(ask));
    await turn();
    expect([stopped(), begun.length, jobs.length]).toEqual([0, 0, 2]);
    jobs[1]?.resolve('the answer');
    expect(await coming).toBe('the answer');
    await turn();
    expect(stopped()).toBe(1);
  });
});
