import { useEffect, useRef, useState } from 'react';
import type { Report, Stage } from './desk';
import { Stopped } from './foreman';

/** Work over this long says what it is doing (milliseconds). */
const sayAfter = 400;
/** Work over this long can be stopped (milliseconds). */
const stopAfter = 2000;

export type Work<T> =
  | { readonly state: 'waiting' }
  | {
      readonly state: 'working';
      readonly stage: Stage;
      readonly said: boolean;
      readonly stoppable: boolean;
    }
  | { readonly state: 'done'; readonly value: T }
  | { readonly state: 'failed'; readonly fault: Error }
  | { readonly state: 'stopped' };

const waiting = { state: 'waiting' } as const;

/** Begun, and too young to speak of. */
const begun = {
  state: 'working',
  stage: { doing: 'Opening' },
  said: false,
  stoppable: false,
} as const;

type Kept<T> = { readonly key: string | undefined; readonly work: Work<T> };

const asError = (fault: unknown): Error =>
  fault instanceof Error ? fault : new Error(String(fault));

/**
 * Runs `task` whenever `key` changes and follows it: quiet for 400 ms, then with words, after two
 * seconds with leave to stop. An answer that comes after the key has changed is let go. `key`
 * undefined: nothing to do yet. What `known` gives is shown at once and no work is begun.
 */
export function useWork<T>(
  key: string | undefined,
  task: (report: Report) => Promise<T>,
  known?: () => T | undefined,
): Work<T> {
  const [kept, setKept] = useState<Kept<T>>({ key: undefined, work: waiting });
  const latest = useRef({ task, known });
  latest.current = { task, known };
  useEffect(() => {
    if (key === undefined) return;
    const ready = latest.current.known?.();
    if (ready !== undefined) {
      setKept({ key, work: { state: 'done', value: ready } });
      return;
    }
    let current = true;
    let now: Extract<Work<T>, { state: 'working' }> = begun;
    const set = (next: Work<T>): void => {
      if (current) setKept({ key, work: next });
    };
    // Drawn only once it is said: work that is done sooner costs no drawing but its answer's.
    const patch = (change: Partial<typeof now>): void => {
      now = { ...now, ...change };
      if (now.said) set(now);
    };
    const timers = [
      setTimeout(() => patch({ said: true }), sayAfter),
      setTimeout(() => patch({ stoppable: true }), stopAfter),
    ];
    // What is reported behind the answer is no longer heard.
    const leave = (): void => {
      current = false;
      timers.forEach(clearTimeout);
    };
    latest.current
      .task((stage) => patch({ stage }))
      .then(
        (value) => set({ state: 'done', value }),
        (fault: unknown) =>
          set(
            fault instanceof Stopped
              ? { state: 'stopped' }
              : { state: 'failed', fault: asError(fault) },
          ),
      )
      .finally(leave);
    return leave;
  }, [key]);
  // Between a new key and its first word the work of the old key must not be taken for the new.
  if (kept.key === key) return kept.work;
  if (key === undefined) return waiting;
  const ready = known?.();
  return ready === undefined ? begun : { state: 'done', value: ready };
}
