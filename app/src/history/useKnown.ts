import { namesOf } from '@fairbed/trial';
import { useMemo } from 'react';
import type { OpenBook } from '../book/liveBook';
import { useTrialOf } from '../book/useBook';
import { newWriter } from '../book/writer';
import { fieldsOf, type Known } from './entryWords';

/** What has to be known to put the entries of a book into words, followed. */
export function useKnown(open: OpenBook): Known {
  const trial = useTrialOf(open);
  return useMemo(
    () => ({
      trial,
      names: namesOf(trial),
      roundDay: (round) => {
        const { day } = fieldsOf(open.book.current('round', round));
        return typeof day === 'string' ? day : undefined;
      },
      history: open.book.history,
    }),
    [open, trial],
  );
}

/** The letters of this device, with which each of its writers begins. */
export const thisDevice = (): string => newWriter().slice(0, 6);
