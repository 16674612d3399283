import type { Trial } from '@fairbed/trial';
import type { Judgement } from '@fairbed/verdict';
import type { Ask } from './ask';
import type { First } from './first';

type Reading = Promise<Trial | undefined>;
type Judge = (trial: Trial, ask: Ask) => Judgement;
type Answer = { readonly trial: Trial; readonly asked: string; readonly judgement: Judgement };

export type Early = {
  /** The reading of this trial that was begun early. It is given once: later it may be stale. */
  readonly reading: (id: string) => Reading | undefined;
  /** The answer to this question about this very trial, where it was worked out early. */
  readonly answer: (trial: Trial, ask: Ask) => Judgement | undefined;
};

// Lets what the page has asked meanwhile be answered first.
const messages = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));

/**
 * Begins on the first question before it is asked. The page is busy drawing itself then, and a
 * worker hears nothing while its page is busy.
 */
export function beginEarly({ id, ask }: First, read: (id: string) => Reading, judge: Judge): Early {
  let begun: Reading | undefined = read(id);
  let answered: Answer | undefined;
  let isAsked = false;
  const work = async (reading: Reading): Promise<void> => {
    const trial = await reading;
    await messages();
    if (trial && !isAsked)
      answered = { trial, asked: JSON.stringify(ask), judgement: judge(trial, ask) };
  };
  // A fault is not kept: it is met again, and said, when the question is asked.
  work(begun).catch(() => undefined);
  return {
    reading: (asked) => {
      if (asked !== id) return undefined;
      const once = begun;
      begun = undefined;
      return once;
    },
    answer: (trial, asked) => {
      isAsked = true;
      return answered?.trial === trial && answered.asked === JSON.stringify(asked)
        ? answered.judgement
        : undefined;
    },
  };
}
