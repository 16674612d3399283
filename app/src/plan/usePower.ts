import type { PowerFigures, PowerQuestion } from '@fairbed/verdict';
import { largerTrials } from '@fairbed/verdict';
import { useEffect, useRef, useState } from 'react';
import { type PowerOrder, type PowerWord, trialsOf } from './powerWork';

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

const none: PowerWork = { state: 'none', rows: [], why: undefined };

const orderOf = (rows: readonly PowerRow[]): PowerOrder => ({
  questions: rows.map(({ question, trials }) => ({ question, trials })),
});

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
 * Simulated trials in a worker of their own: begun and stopped by hand, gone with the screen. Ending
 * the worker ends the work at once; what came so far stays.
 */
export function usePower() {
  const [work, setWork] = useState<PowerWork>(none);
  const worker = useRef<Worker | undefined>(undefined);
  const end = (): void => {
    worker.current?.terminate();
    worker.current = undefined;
  };
  useEffect(() => end, []);
  const begin = (question: PowerQuestion): void => {
    end();
    const rows = largerTrials(question).map(
      (one, i): PowerRow => ({ question: one, trials: trialsOf(i), figures: undefined }),
    );
    const planned =
      rows.length > 0 ? rows : [{ question, trials: trialsOf(0), figures: undefined }];
    setWork({ state: 'working', rows: planned, why: undefined });
    const hired = new Worker(new URL('./power.worker.ts', import.meta.url), { type: 'module' });
    worker.current = hired;
    hired.addEventListener('message', (event: MessageEvent<PowerWord>) => {
      if (worker.current !== hired) return;
      if (event.data.kind !== 'figures') end();
      setWork((was) => heard(was, event.data));
    });
    hired.addEventListener('error', () => {
      if (worker.current !== hired) return;
      end();
      const why = 'The part of Fairbed that simulates did not start. Load the page anew.';
      setWork((was) => ({ ...was, state: 'refused', why }));
    });
    hired.postMessage(orderOf(planned));
  };
  const stop = (): void => {
    end();
    setWork((was) => (was.state === 'working' ? { ...was, state: 'stopped' } : was));
  };
  return { work, begin, stop };
}
