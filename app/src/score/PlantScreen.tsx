import { plantBefore, type Trial } from '@fairbed/trial';
import { useMemo } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { useSteps } from '../book/useBook';
import { bedHref, historyHref, scoreHref } from '../route';
import { Counts } from './Counts';
import { Folded } from './Folded';
import { isScored, numberAt, skippedAt } from './figures';
import { LostLeaves } from './LostLeaves';
import { MoreFigures } from './MoreFigures';
import { OtherMeasures } from './OtherMeasures';
import { Reentry } from './Reentry';
import { RoundBar } from './RoundBar';
import { SkipPlant } from './SkipPlant';
import { TakePhoto } from './TakePhoto';
import { useDrafts } from './useDrafts';
import { useScores, type Walk } from './useRound';
import { useSwipe } from './useSwipe';
import { placeOf, type Stop, stopName } from './walk';

type PlantProps = {
  readonly open: OpenBook;
  readonly trial: Trial;
  readonly walk: Walk;
  readonly stop: Stop;
};

const hrefTo = (id: string, round: string, stop: Stop | undefined): string =>
  stop === undefined ? scoreHref(id, round) : scoreHref(id, round, stop.plot, stop.plant);

const go = (href: string): void => {
  window.location.hash = href.slice(1);
};

/** How many halts of a round have a figure or a reason for having none. */
export function doneOf(
  open: OpenBook,
  { round, stops }: Walk,
  diseases: readonly string[],
): number {
  return stops.filter((stop) => {
    const here = { round: round.id, stop };
    return isScored(open, here, diseases) || skippedAt(open, here) !== undefined;
  }).length;
}

/** One plant of a round: count, and go on to the next with the same thumb. */
export function PlantScreen({ open, trial, walk, stop }: PlantProps) {
  useScores(open);
  const announce = useAnnounce();
  const { round, stops } = walk;
  const here = useMemo(() => ({ round: round.id, stop }), [round.id, stop]);
  const drafts = useDrafts(open, here);
  const steps = useSteps(open);
  const at = placeOf(stops, stop);
  const [earlier, later] = [stops[at - 1], stops[at + 1]];
  const diseases = trial.diseases.map(({ id }) => id);
  const before = useMemo(
    () => plantBefore(trial, { round: round.id, ...stop }),
    [trial, round.id, stop],
  );
  const neighbour =
    earlier && numberAt(open, { round: round.id, stop: earlier }, { field: 'standing' });

  const leave = (to: Stop | undefined): void => {
    void drafts.flush();
    go(hrefTo(open.id, round.id, to));
  };
  const undo = (): void => {
    // Neither is waited for: on a full disk both are in memory, and the bar says so.
    void drafts.flush();
    announce(open.steps().undo === undefined ? 'Nothing to undo.' : 'Undone.');
    void open.undo();
  };
  const skip = (why: string | null): void => {
    drafts.set({ field: 'skipped' }, why);
    void drafts.flush();
    if (why !== null) leave(later);
  };
  const swipe = useSwipe({ onLeft: () => leave(later), onRight: () => earlier && leave(earlier) });
  const skipped = skippedAt(open, here);
  const lit =
    trial.reveal === undefined ? undefined : trial.plots.find(({ id }) => id === stop.plot);
  const treatment = trial.treatments.find(({ id }) => id === lit?.treatment)?.name;

  return (
    <div className="plant-screen" {...swipe}>
      <RoundBar
        open={open}
        done={doneOf(open, walk, diseases)}
        of={stops.length}
        isWaiting={drafts.waiting()}
      />
      <h1 tabIndex={-1} className="plant-title">
        <span className="kicker">What do you see?</span> {stopName(stop)}
        {treatment !== undefined && <span className="kicker"> {treatment}</span>}
      </h1>
      <Reentry trial={trial} plot={stop.plot} />
      {skipped !== undefined && <SkipPlant skipped={skipped} onSkip={skip} />}
      <Counts
        drafts={drafts}
        before={before}
        neighbour={neighbour}
        diseases={trial.diseases}
        strips={round.stripping === true}
      />
      <OtherMeasures drafts={drafts} trial={trial} />
      <Folded summary="Lost leaves">
        <LostLeaves drafts={drafts} />
      </Folded>
      <Folded summary="Injury, vigour, growth stage, note">
        <MoreFigures drafts={drafts} />
      </Folded>
      <div className="buttons">
        <TakePhoto open={open} about={{ round: round.id, ...stopAbout(stop) }} />
        <a className="button quiet" href={historyHref(open.id, 'plot', stop.plot)}>
          History of this plot
        </a>
        <a className="button quiet" href={bedHref(open.id)}>
          The bed
        </a>
      </div>
      {skipped === undefined && (
        <Folded summary="Skip this one">
          <SkipPlant skipped={undefined} onSkip={skip} />
        </Folded>
      )}
      <nav className="thumb-bar" aria-label="Walk">
        <button
          type="button"
          className="button quiet"
          disabled={steps.undo === undefined && !drafts.waiting()}
          onClick={undo}
        >
          Undo
        </button>
        <button
          type="button"
          className="button quiet"
          disabled={earlier === undefined}
          onClick={() => leave(earlier)}
        >
          Back
        </button>
        <button type="button" className="button next" onClick={() => leave(later)}>
          {later === undefined ? 'End of the round' : `Next: ${nextName(stop, later)}`}
        </button>
      </nav>
    </div>
  );
}

const stopAbout = ({ plot, plant }: Stop) => (plant === undefined ? { plot } : { plot, plant });

/** The plant alone within a plot, the code too where the next plot begins. */
const nextName = (stop: Stop, later: Stop): string =>
  later.plot === stop.plot && later.plant !== undefined
    ? `plant ${later.plant}`
    : `${later.code}${later.plant === undefined ? '' : `, plant ${later.plant}`}`;
