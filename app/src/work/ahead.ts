import type { Judgement } from '@fairbed/verdict';
import type { Ask } from './ask';
import type { Report } from './desk';
import { type Hand, hire } from './foreman';

/** A single answer that takes longer than this (milliseconds) ends the work that nobody asked for. */
const tooLong = 3000;

type Keep = (ask: Ask, coming: Promise<Judgement>) => void;

/** A second worker on one trial: for what takes long, and for what may come next. */
export type Ahead = {
  readonly id: string;
  /** Answers a question that takes long, so that no short one has to wait behind it. */
  readonly answer: (ask: Ask, report: Report) => Promise<Judgement>;
  /** Takes up these questions in place of those it had. `keep` hears of each as it is begun. */
  readonly work: (asks: readonly Ask[], keep: Keep) => void;
  /** Begins nothing more, and goes when what was asked of it is answered. */
  readonly retire: () => void;
  readonly stop: () => void;
};

const quiet = (): void => undefined;

/** The one worker of a trial: hired when it is first wanted, and anew after it could not open it. */
function createPost(id: string, given: () => unknown, hireHand: () => Hand) {
  let opening: Promise<Hand> | undefined;
  let hand: Hand | undefined;
  const open = async (): Promise<Hand> => {
    const hired = hireHand();
    hand = hired;
    await hired.ask(quiet, (desk, report) => desk.hold(id, given(), report));
    return hired;
  };
  const dismiss = (): void => {
    const gone = hand;
    hand = undefined;
    // Who asks after that has another hired.
    opening = undefined;
    gone?.stop();
  };
  const start = (): Promise<Hand> => {
    if (opening !== undefined) return opening;
    const coming = open();
    opening = coming;
    coming.catch(() => {
      if (opening === coming) dismiss();
    });
    return coming;
  };
  return { start, dismiss };
}

/**
 * A worker that is hired with the first question. It works ahead only where the trial is small
 * enough for its answers to be made on the off chance. A fault of one question is passed over:
 * whoever asks it hears of it.
 */
export function createAhead(id: string, given: () => unknown, hireHand: () => Hand = hire): Ahead {
  const post = createPost(id, given, hireHand);
  let isTired = false;
  let turn = 0;
  const asked = new Set<Promise<unknown>>();
  const judge = (worker: Hand, ask: Ask, say: Report): Promise<Judgement> =>
    worker.ask<Judgement>(say, (desk, report) => desk.judge(id, ask, report));
  const takeUp = async (asks: readonly Ask[], keep: Keep, mine: number): Promise<void> => {
    const worker = await post.start();
    for (const ask of asks) {
      if (isTired || mine !== turn) return;
      const began = performance.now();
      const coming = judge(worker, ask, quiet);
      keep(ask, coming);
      await coming.catch(quiet);
      if (performance.now() - began > tooLong) isTired = true;
    }
  };
  const stop = (): void => {
    isTired = true;
    post.dismiss();
  };
  return {
    id,
    answer: (ask, report) => {
      turn += 1;
      const coming = post.start().then((worker) => judge(worker, ask, report));
      asked.add(coming);
      coming.catch(quiet).finally(() => asked.delete(coming));
      return coming;
    },
    work: (asks, keep) => {
      turn += 1;
      if (isTired || asks.length === 0) return;
      takeUp(asks, keep, turn).catch(stop);
    },
    retire: () => {
      isTired = true;
      void Promise.allSettled(asked).then(stop);
    },
    stop,
  };
}
