import type { Round, Trial } from '@fairbed/trial';
import { useMemo, useSyncExternalStore, useCallback } from 'react';
import type { OpenBook } from '../book/liveBook';
import { type Stop, stopsOf } from './walk';

/** Kinds of entry that change how a round is walked; the scores themselves don't. */
const framing = ['plan', 'draw', 'round', 'plant', 'lost-plot', 'reveal', 'spray', 'seal'] as const;

/** A number that changes with every entry of these kinds. */
function useTurn(open: OpenBook, kinds: readonly string[]): number {
  const turn = useMemo(() => ({ n: 0 }), [open]);
  const subscribe = useCallback(
    (tell: () => void) => {
      const stops = kinds.map((kind) =>
        open.subscribe([kind], () => {
          turn.n++;
          tell();
        }),
      );
      return () => {
        for (const stop of stops) stop();
      };
    },
    [open, kinds, turn],
  );
  return useSyncExternalStore(subscribe, () => turn.n);
}

/** The trial as far as a round is walked by it; folded anew when that changes, not at every score. */
export function useFrame(open: OpenBook): Trial {
  const turn = useTurn(open, framing);
  return useMemo(() => open.trial(), [open, turn]);
}

const scoresOnly = ['score'] as const;

/** Draws a screen anew whenever a score comes, from here or from another device. */
export const useScores = (open: OpenBook): number => useTurn(open, scoresOnly);

export type Walk = {
  readonly round: Round;
  /** The round before, whose figures are at hand. */
  readonly before: Round | undefined;
  readonly stops: readonly Stop[];
};

/** A round of a trial and the way through it; undefined where the trial has no such round. */
export function walkOf(trial: Trial, id: string): Walk | undefined {
  const at = trial.rounds.findIndex((round) => round.id === id);
  const round = trial.rounds[at];
  if (round === undefined) return undefined;
  return { round, before: trial.rounds[at - 1], stops: stopsOf(trial, round.day) };
}
