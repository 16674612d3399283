import { useEffect } from 'react';
import type { OpenBook } from '../book/liveBook';
import { useBook } from '../book/useBook';
import { bedHref, type ScoreRoute, shelfHref } from '../route';
import { PlantScreen } from './PlantScreen';
import { RoundStart } from './RoundStart';
import { useFrame, walkOf } from './useRound';
import { placeOf } from './walk';

function Missing({ words, href, link }: { words: string; href: string; link: string }) {
  return (
    <>
      <h1 tabIndex={-1}>Which round is it?</h1>
      <p>
        {words} <a href={href}>{link}</a>
      </p>
    </>
  );
}

function Round({ open, route }: { readonly open: OpenBook; readonly route: ScoreRoute }) {
  const trial = useFrame(open);
  const walk = walkOf(trial, route.round);
  const title = trial.title;
  useEffect(() => {
    document.title = `Scoring ${title} · Fairbed`;
  }, [title]);
  if (walk === undefined) {
    return (
      <Missing
        words="This trial has no such round."
        href={bedHref(open.id)}
        link="Go to its bed, where rounds begin."
      />
    );
  }
  if (route.plot === undefined) return <RoundStart open={open} trial={trial} walk={walk} />;
  const { plot, plant } = route;
  // The address of a plot alone is its first plant.
  const at =
    plant === undefined
      ? walk.stops.findIndex((stop) => stop.plot === plot)
      : placeOf(walk.stops, { plot, plant });
  const stop = walk.stops[at];
  if (stop === undefined) {
    return (
      <Missing
        words="That plant is not scored in this round: it is lost, a guard plant, or was never there."
        href={bedHref(open.id)}
        link="Go to the bed."
      />
    );
  }
  return <PlantScreen key={`${stop.plot}/${stop.plant ?? ''}`} {...{ open, trial, walk, stop }} />;
}

/** A round of scoring: where it stands, or one plant of it. */
export function ScoreScreen({ route }: { readonly route: ScoreRoute }) {
  const state = useBook(route.id);
  switch (state.state) {
    case 'opening':
      return <p role="status">Opening the trial …</p>;
    case 'open':
      return <Round open={state.open} route={route} />;
    case 'missing':
      return (
        <Missing
          words="This trial is not on this device."
          href={shelfHref}
          link="Go to your trials, or bring it in as a file."
        />
      );
    case 'failed':
      return (
        <p className="sheet fault" role="alert">
          The trial could not be opened: {state.fault.message} Close other tabs of Fairbed and
          reload.
        </p>
      );
  }
}
