import { readDay } from '@fairbed/field';
import { namesOf } from '@fairbed/trial';
import { useEffect } from 'react';
import { roundToScore } from '../bed/rounds';
import { BookPage } from '../book/BookPage';
import type { OpenBook } from '../book/liveBook';
import { dayAndTime } from '../book/photos';
import { bedHref, scoreHref, type RouteOf } from '../route';
import { useFrame } from './useRound';

/** The round of today, or the one begun a day or two ago and not through; else what to do. */
function Jump({ open, code }: { readonly open: OpenBook; readonly code: string }) {
  const trial = useFrame(open);
  const plot = namesOf(trial).withCode(code);
  const today = readDay(dayAndTime(new Date()).day);
  const round = today && roundToScore(trial, today);
  const to =
    plot === undefined || round === undefined ? undefined : scoreHref(open.id, round.id, plot.id);
  useEffect(() => {
    if (to !== undefined) window.location.replace(to);
  }, [to]);
  if (to !== undefined) return <p role="status">Going to plot {code} …</p>;
  const last = plot && trial.rounds.at(-1);
  return (
    <p>
      {plot === undefined
        ? `No stake of this trial says ${code}. `
        : `Plot ${plot.code}: no round of today has begun. `}
      <a href={bedHref(open.id)}>Go to the bed, where rounds begin.</a>
      {plot !== undefined && last !== undefined && (
        <>
          {' '}
          Or{' '}
          <a href={scoreHref(open.id, last.id, plot.id)}>
            look at it in the last round{last.day === undefined ? '' : `, of ${last.day}`}.
          </a>
        </>
      )}
    </p>
  );
}

/** What a stake's QR opens: its plot in the round that is under way. */
export function StakeScreen({ route }: { readonly route: RouteOf<'stake'> }) {
  return (
    <BookPage id={route.id} className="bed-page" name="stake" question="Whose stake is it?">
      {(open) => <Jump open={open} code={route.code} />}
    </BookPage>
  );
}
