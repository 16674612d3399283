import type { Judgement } from '@fairbed/verdict';
import type { Ask } from './ask';
import { type Hand, hire } from './foreman';

/** A single answer that takes longer than this (milliseconds) is not worked out unasked. */
const tooLong = 3000;

type Keep = (ask: Ask, coming: Promise<Judgement>) => void;

/** Works out answers to questions that may come next. */
export type Ahead = {
  readonly id: string;
  /** Takes up these questions in place of those it had. `keep` hears of each as it is begun. */
  readonly work: (asks: readonly Ask[], keep: Keep) => void;
  readonly stop: () => void;
};

const quiet = (): void => undefined;

/**
 * Work ahead on one trial, in a worker that is hired with the first question. It gives up where
 * the trial is too large for its answers to be made on the off chance. A fault of one question is
 * passed over: whoever asks it hears of it.
 */
export function createAhead(id: string, given: () => unknown, hireHand: () => Hand = hire): Ahead {
  let hand: Hand | undefined;
  let isOver = false;
  let turn = 0;
  const start = async (): Promise<Hand> => {
    if (hand) return hand;
    hand = hireHand();
    await hand.ask(quiet, (desk, report) => desk.hold(id, given(), report));
    return hand;
  };
  const answer = async (asks: readonly Ask[], keep: Keep, mine: number): Promise<void> => {
    const worker = await start();
    for (const ask of asks) {
      if (isOver || mine !== turn) return;
      const began = performance.now();
      const coming = worker.ask<Judgement>(quiet, (desk, report) => desk.judge(id, ask, report));
      keep(ask, coming);
      await coming.catch(quiet);
      if (performance.now() - began > tooLong) isOver = true;
    }
  };
  const stop = (): void => {
    isOver = true;
    hand?.stop();
    hand = undefined;
  };
  return {
    id,
    work: (asks, keep) => {
      turn += 1;
      if (isOver || asks.length === 0) return;
      answer(asks, keep, turn).catch(stop);
    },
    stop,
  };
}
