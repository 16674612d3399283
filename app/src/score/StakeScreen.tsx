import { namesOf } from '@fairbed/trial';
import { useEffect } from 'react';
import { useBook } from '../book/useBook';
import type { OpenBook } from '../book/liveBook';
import { bedHref, scoreHref, shelfHref, type RouteOf } from '../route';
import { useFrame } from './useRound';

/** The round that is under way: the last begun that is not done. */
function Jump({ open, code }: { readonly open: OpenBook; readonly code: string }) {
  const trial = useFrame(open);
  const plot = namesOf(trial).withCode(code);
  const round = trial.rounds.findLast(({ done }) => done !== true);
  const to =
    plot === undefined || round === undefined ? undefined : scoreHref(open.id, round.id, plot.id);
  useEffect(() => {
    if (to !== undefined) window.location.replace(to);
  }, [to]);
  if (to !== undefined) return <p role="status">Going to plot {code} …</p>;
  return (
    <>
      <h1 tabIndex={-1}>
        {plot === undefined ? 'Whose stake is it?' : `What about plot ${code}?`}
      </h1>
      <p>
        {plot === undefined
          ? `No stake of this trial says ${code}. `
          : 'No round is open, so there is nothing to score yet. '}
        <a href={bedHref(open.id)}>Go to the bed, where rounds begin.</a>
      </p>
    </>
  );
}

/** What a stake's QR opens: its plot in the round that is under way. */
export function StakeScreen({ route }: { readonly route: RouteOf<'stake'> }) {
  const state = useBook(route.id);
  if (state.state === 'opening') return <p role="status">Opening the trial …</p>;
  if (state.state === 'open') return <Jump open={state.open} code={route.code} />;
  return (
    <>
      <h1 tabIndex={-1}>Where is this trial?</h1>
      <p>
        {state.state === 'missing'
          ? 'The trial of this stake is not on this device. Bring it in as a file from the device that has it. '
          : `The trial could not be opened: ${state.fault.message} `}
        <a href={shelfHref}>Go to your trials.</a>
      </p>
    </>
  );
}
