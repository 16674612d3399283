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

function heard(work: PowerWork, word: Exclude<PowerWord, { kind: 'done' }>): PowerWork {
  if (word.kind === 'refused') {
    const { what, do: remedy } = word.problem;
    return { ...work, state: 'refused', why: `${what} ${remedy}` };
  }
  const rows = work.rows.map((row, i) =>
    i === word.index ? { ...row, figures: word.figures } : row,
  );
  return { ...work, rows };
}

/** Two at once nearly halve the time; more would take the page's own share of a phone. */
const handsAtMost = 2;
const hands = (rows: number): number =>
  Math.min(handsAtMost, rows, Math.max(1, navigator.hardwareConcurrency));

const orderOf = (index: number, { question, trials }: PowerRow): PowerOrder => ({
  index,
  question,
  trials,
});

const didNotStart = 'The part of Fairbed that simulates did not start. Load the page anew.';

function hire(
  hear: (worker: Worker, word: PowerWord) => void,
  fail: (worker: Worker) => void,
): Worker {
  const worker = new Worker(new URL('./power.worker.ts', import.meta.url), { type: 'module' });
  worker.addEventListener('message', ({ data }: MessageEvent<PowerWord>) => hear(worker, data));
  worker.addEventListener('error', () => fail(worker));
  return worker;
}

/**
 * A place where simulated trials are ordered and stopped by hand. It outlives the panel that shows
 * them, which comes and goes as a phone is turned.
 */
export function createPowerDesk(): PowerDesk {
  let work = none;
  let workers: readonly Worker[] = [];
  const followers = new Set<() => void>();
  const set = (next: PowerWork): void => {
    work = next;
    for (const changed of followers) changed();
  };
  const end = (): void => {
    for (const worker of workers) worker.terminate();
    workers = [];
  };
  /** Begins on the rows in their order, each hand on the next that nobody has begun. */
  const begin = (question: PowerQuestion): void => {
    end();
    const rows = rowsOf(question);
    set({ state: 'working', rows, why: undefined });
    let next = 0;
    let left = rows.length;
    const give = (worker: Worker): void => {
      const index = next++;
      const row = rows[index];
      if (row) worker.postMessage(orderOf(index, row));
    };
    const hear = (worker: Worker, word: PowerWord): void => {
      if (!workers.includes(worker)) return;
      if (word.kind === 'done') {
        left -= 1;
        if (left > 0) give(worker);
        else {
          end();
          set({ ...work, state: 'done' });
        }
        return;
      }
      if (word.kind === 'refused') end();
      set(heard(work, word));
    };
    const fail = (worker: Worker): void => {
      if (!workers.includes(worker)) return;
      end();
      set({ ...work, state: 'refused', why: didNotStart });
    };
    workers = Array.from({ length: hands(rows.length) }, () => hire(hear, fail));
    for (const worker of workers) give(worker);
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
