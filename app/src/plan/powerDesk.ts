import { largerTrials, type PowerFigures, type PowerQuestion, usualTrials } from '@fairbed/verdict';
import type { PowerOrder, PowerWord } from './powerWork';

/** A question with what came of it so far. */
export type PowerRow = {
  readonly question: PowerQuestion;
  readonly trials: number;
  readonly figures: PowerFigures | undefined;
};

export type PowerWork = {
  readonly state: 'none' | 'working' | 'done' | 'stopped' | 'refused';
  /** The plan itself first, then larger trials. */
  readonly rows: readonly PowerRow[];
  /** Why there is no chance to tell. */
  readonly why: string | undefined;
};

/** Simulated trials in a worker of their own, followed by whoever shows them. */
export type PowerDesk = {
  readonly now: () => PowerWork;
  readonly subscribe: (changed: () => void) => () => void;
  readonly begin: (question: PowerQuestion) => void;
  /** Ends the work at once; what came so far stays. */
  readonly stop: () => void;
};

const none: PowerWork = { state: 'none', rows: [], why: undefined };

const orderOf = (rows: readonly PowerRow[]): PowerOrder => ({
  questions: rows.map(({ question, trials }) => ({ question, trials })),
});

function rowsOf(question: PowerQuestion): readonly PowerRow[] {
  const larger = largerTrials(question);
  // A question with a fault has no larger ones; the worker says what is wrong with it.
  return (larger.length > 0 ? larger : [question]).map((one, i) => ({
    question: one,
    // As many as the command line takes, so that both come to the same figures.
    trials: usualTrials(one, i > 0),
    figures: undefined,
  }));
}

function heard(work: PowerWork, word: PowerWord): PowerWork {
  if (word.kind === 'done') return { ...work, state: 'done' };
  if (word.kind === 'refused') {
    const { what, do: remedy } = word.problem;
    return { ...work, state: 'refused', why: `${what} ${remedy}` };
  }
  const rows = work.rows.map((row, i) =>
    i === word.index ? { ...row, figures: word.figures } : row,
  );
  return { ...work, rows };
}

/**
 * A place where simulated trials are ordered and stopped by hand. It outlives the panel that shows
 * them, which comes and goes as a phone is turned.
 */
export function createPowerDesk(): PowerDesk {
  let work = none;
  let worker: Worker | undefined;
  const followers = new Set<() => void>();
  const set = (next: PowerWork): void => {
    work = next;
    for (const changed of followers) changed();
  };
  const end = (): void => {
    worker?.terminate();
    worker = undefined;
  };
  const begin = (question: PowerQuestion): void => {
    end();
    set({ state: 'working', rows: rowsOf(question), why: undefined });
    const hired = new Worker(new URL('./power.worker.ts', import.meta.url), { type: 'module' });
    worker = hired;
    hired.addEventListener('message', (event: MessageEvent<PowerWord>) => {
      if (worker !== hired) return;
      if (event.data.kind !== 'figures') end();
      set(heard(work, event.data));
    });
    hired.addEventListener('error', () => {
      if (worker !== hired) return;
      end();
      const why = 'The part of Fairbed that simulates did not start. Load the page anew.';
      set({ ...work, state: 'refused', why });
    });
    hired.postMessage(orderOf(work.rows));
  };
  return {
    now: () => work,
    subscribe: (changed) => {
      followers.add(changed);
      return () => followers.delete(changed);
    },
    begin,
    stop: () => {
      end();
      if (work.state === 'working') set({ ...work, state: 'stopped' });
    },
  };
}
