import { proxy, type Remote, wrap } from 'comlink';
import type { Desk, Report } from './desk';
import { type First, nameOf } from './first';
import address from './worker?worker&url';

/** The reader stopped the work; nothing is wrong. */
export class Stopped extends Error {
  override readonly name = 'Stopped';
}

/** A worker that holds one trial or one sheet at a time. */
export type Hand = {
  /** Has a job done. `report` hears what is being done, in words. */
  readonly ask: <T>(
    report: Report,
    job: (desk: Remote<Desk>, report: Report) => Promise<T>,
  ) => Promise<T>;
  /** Ends the worker at once. Whatever was being done is refused with `Stopped`. */
  readonly stop: () => void;
};

/**
 * Hires a worker. All reading of files and all arithmetic happen in it, so the page stays alive
 * and long work can be stopped by ending it. With `first` it begins on that before it is asked.
 */
export function hire(first?: First): Hand {
  const worker = new Worker(address, { type: 'module', name: nameOf(first) });
  const desk = wrap<Desk>(worker);
  const waiting = new Set<(fault: Error) => void>();
  const refuseAll = (fault: Error): void => {
    for (const refuse of waiting) refuse(fault);
    waiting.clear();
  };
  worker.addEventListener('error', (event) => {
    refuseAll(new Error(event.message || 'The part of Fairbed that calculates did not start.'));
  });
  return {
    ask: (report, job) =>
      new Promise((resolve, reject) => {
        waiting.add(reject);
        void job(desk, proxy(report))
          .then(resolve, reject)
          .finally(() => waiting.delete(reject));
      }),
    stop: () => {
      worker.terminate();
      refuseAll(new Stopped());
    },
  };
}
