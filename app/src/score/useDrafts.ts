import type { Json } from '@fairbed/notebook';
import { useEffect, useMemo, useReducer } from 'react';
import type { OpenBook } from '../book/liveBook';
import { type FigurePlace, figureAt, type Here, thingAt } from './figures';

/** A burst of taps on a stepper is one entry: written when the thumb has rested so long. */
const rest = 500;

export type Drafts = {
  /** What the screen shows: what was just tapped, else what stands in the book. */
  readonly value: (place: FigurePlace) => Json | undefined;
  readonly number: (place: FigurePlace) => number | undefined;
  /** Shows a value at once; null takes it back. */
  readonly set: (place: FigurePlace, value: Json) => void;
  /** Shows values at once that are undone together. */
  readonly setAll: (figures: readonly Waiting[]) => void;
  /** Whether something is shown that is not written yet. */
  readonly waiting: () => boolean;
  /** Writes whatever still waits; settles when it is on disk. */
  readonly flush: () => Promise<void>;
};

/** A figure as it was just tapped. */
export type Waiting = { readonly place: FigurePlace; readonly value: Json };

function createDrafts(open: OpenBook, here: Here, redraw: () => void) {
  const waiting = new Map<string, Waiting>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const flush = async (): Promise<void> => {
    clearTimeout(timer);
    if (waiting.size === 0) return;
    const list = [...waiting].map(([thing, { value }]) => ({ kind: 'score', thing, value }));
    // Out of the way first: the entries themselves are shown as soon as they are written.
    waiting.clear();
    await open.writeAll(list);
  };
  const value = (place: FigurePlace): Json | undefined => {
    const draft = waiting.get(thingAt(here, place));
    return draft === undefined ? figureAt(open, here, place) : (draft.value ?? undefined);
  };
  const setAll = (figures: readonly Waiting[]): void => {
    const named = figures.map((figure) => [thingAt(here, figure.place), figure] as const);
    // Another figure is another step, so that undo goes back one figure at a time.
    const isSame = named.length === waiting.size && named.every(([thing]) => waiting.has(thing));
    if (!isSame) void flush();
    for (const [thing, figure] of named) waiting.set(thing, figure);
    clearTimeout(timer);
    timer = setTimeout(() => void flush(), rest);
    redraw();
  };
  const set = (place: FigurePlace, next: Json): void => setAll([{ place, value: next }]);
  const number = (place: FigurePlace): number | undefined => {
    const known = value(place);
    return typeof known === 'number' ? known : undefined;
  };
  return { value, number, set, setAll, flush, waiting: () => waiting.size > 0 };
}

/** The figures of one halt as they are typed. Left halts, hidden pages and closed ones are written. */
export function useDrafts(open: OpenBook, here: Here): Drafts {
  const [, redraw] = useReducer((turn: number) => turn + 1, 0);
  const { round, stop } = here;
  const drafts = useMemo(() => createDrafts(open, { round, stop }, redraw), [open, round, stop]);
  useEffect(() => {
    const flush = (): void => void drafts.flush();
    document.addEventListener('visibilitychange', flush);
    window.addEventListener('pagehide', flush);
    return () => {
      document.removeEventListener('visibilitychange', flush);
      window.removeEventListener('pagehide', flush);
      flush();
    };
  }, [drafts]);
  return drafts;
}
