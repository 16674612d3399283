import type { Json } from '@fairbed/notebook';
import type { Trial } from '@fairbed/trial';
import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { bedHref, scoreHref } from '../route';
import { isScored, skippedAt } from './figures';
import { doneOf } from './PlantScreen';
import { Reentry } from './Reentry';
import { RoundBar } from './RoundBar';
import { ScanStake } from './ScanStake';
import { useScores, type Walk } from './useRound';
import { type Stop, stopName } from './walk';

type StartProps = { readonly open: OpenBook; readonly trial: Trial; readonly walk: Walk };

/** `Round of 4 May 2026`. */
function roundWords({ name, day, id }: Walk['round']): string {
  if (name !== undefined) return name;
  if (day === undefined) return `Round ${id}`;
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number);
  const words = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' });
  return `Round of ${words.format(Date.UTC(year, month - 1, date))}`;
}

/** What of a plot is still to be scored. */
function plotsLeft(open: OpenBook, { round, stops }: Walk, diseases: readonly string[]) {
  const plots = new Map<string, { first: Stop; left: Stop[]; of: number }>();
  for (const stop of stops) {
    const here = { round: round.id, stop };
    const plot = plots.get(stop.plot) ?? { first: stop, left: [], of: 0 };
    plots.set(stop.plot, plot);
    plot.of++;
    const done = isScored(open, here, diseases) || skippedAt(open, here) !== undefined;
    if (!done) plot.left.push(stop);
  }
  return [...plots.values()];
}

const isFields = (value: Json | undefined): value is Readonly<Record<string, Json>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function Finish({ open, walk, left }: Pick<StartProps, 'open' | 'walk'> & { left: number }) {
  const announce = useAnnounce();
  const { round } = walk;
  const close = async (done: boolean): Promise<void> => {
    const value = open.book.current('round', round.id);
    if (!isFields(value)) return;
    await open.write('round', round.id, { ...value, done });
    announce(done ? 'The round is done.' : 'The round is open again.');
  };
  if (round.done === true) {
    return (
      <p>
        This round is done.{' '}
        <button type="button" className="button quiet" onClick={() => void close(false)}>
          Open it again
        </button>
      </p>
    );
  }
  return (
    <div className="buttons">
      <button
        type="button"
        className={left === 0 ? 'button' : 'button quiet'}
        onClick={() => void close(true)}
      >
        {left === 0 ? 'The round is done' : `Finish without the other ${left}`}
      </button>
    </div>
  );
}

/** Where a round stands: on with the walk, or to a plot of one's choice. */
export function RoundStart({ open, trial, walk }: StartProps) {
  useScores(open);
  const [scanning, setScanning] = useState(false);
  const { round, stops } = walk;
  const diseases = trial.diseases.map(({ id }) => id);
  const plots = plotsLeft(open, walk, diseases);
  const next = plots.flatMap(({ left }) => left)[0];
  const done = doneOf(open, walk, diseases);
  if (stops.length === 0) {
    return (
      <>
        <h1 tabIndex={-1}>What is there to score?</h1>
        <p>
          No plot is laid out, or all are lost. <a href={bedHref(open.id)}>Go to the bed.</a>
        </p>
      </>
    );
  }
  return (
    <div className="round-start stack-wide">
      <h1 tabIndex={-1}>
        {next === undefined ? 'Is the round done?' : 'Where does the walk go on?'}
      </h1>
      <p className="soft">
        {roundWords(round)}
        {trial.reveal === undefined
          ? '. Codes only: what stands where is not shown before the reveal.'
          : '. The treatments are revealed: this round is not blind.'}
      </p>
      <Reentry trial={trial} />
      <RoundBar open={open} done={done} of={stops.length} />
      <div className="buttons">
        {next !== undefined && (
          <a className="button next" href={scoreHref(open.id, round.id, next.plot, next.plant)}>
            {done === 0 ? 'Begin at' : 'Go on at'} {stopName(next).replace(/^P/, 'p')}
          </a>
        )}
        <button
          type="button"
          className="button quiet"
          aria-expanded={scanning}
          onClick={() => setScanning(!scanning)}
        >
          {scanning ? 'Close the camera' : 'Scan a stake'}
        </button>
      </div>
      {scanning && <ScanStake trial={trial} onPlot={(plot) => goTo(open, round.id, plot)} />}
      <ol className="plot-list" aria-label="Plots in walking order">
        {plots.map(({ first, left, of }) => (
          <li key={first.plot}>
            <a
              href={scoreHref(open.id, round.id, (left[0] ?? first).plot, (left[0] ?? first).plant)}
            >
              <strong>{first.code}</strong>
              <span>{left.length === 0 ? 'done' : `${of - left.length} of ${of}`}</span>
            </a>
          </li>
        ))}
      </ol>
      <Finish open={open} walk={walk} left={stops.length - done} />
    </div>
  );
}

const goTo = (open: OpenBook, round: string, plot: string): void => {
  window.location.hash = scoreHref(open.id, round, plot).slice(1);
};
