import { BedMap, type Pick, type PlantDot } from '@fairbed/report';
import { namesOf, type PlotName, roundState, type Trial } from '@fairbed/trial';
import { useMemo, useState } from 'react';
import type { OpenBook } from '../book/liveBook';
import { longDay, today } from '../plan/today';
import { historyHref, photosHref, scoreHref } from '../route';
import { goTo } from '../useRoute';
import { useWidth } from '../useWidth';
import { useLooks } from '../verdict/looks';
import { LostPlot } from './LostPlot';
import { beginRound, datedRounds, roundToScore } from './rounds';

type Counts = { readonly [plot: string]: readonly PlantDot[] };
type Latest = ReturnType<typeof datedRounds>[number] | undefined;

const dotStates = {
  scored: 'scored',
  skipped: 'skipped',
  missing: 'due',
  lost: 'lost',
} as const;

/** How far the latest round is, plant by plant. */
function usePlants(trial: Trial, latest: Latest): ReadonlyMap<string, readonly PlantDot[]> {
  return useMemo(() => {
    const state = latest && roundState(trial, latest.id);
    const counts: Counts = Object.fromEntries(
      (state?.plots ?? []).map(({ plot, plants }) => [
        plot,
        plants.map((plant) => ({ state: dotStates[plant.state] })),
      ]),
    );
    return new Map(Object.entries(counts));
  }, [trial, latest]);
}

type PlotProps = {
  readonly open: OpenBook;
  readonly trial: Trial;
  readonly plot: PlotName;
};

/** What can be done with the plot that was picked. */
function PickedPlot({ open, trial, plot }: PlotProps) {
  const lost = trial.plots.find(({ id }) => id === plot.id)?.lost;
  const day = today();
  const round = roundToScore(trial, day);
  const begin = (): void => goTo(scoreHref(open.id, beginRound(open, day), plot.id));
  return (
    <div className="bed-picked" role="group" aria-label={`Plot ${plot.code}`}>
      <h3>
        Plot {plot.code}
        {plot.treatment !== undefined && `: ${plot.treatment.name}`}
      </h3>
      {lost !== undefined && (
        <p>
          Lost{lost.day === undefined ? '' : ` on ${longDay(lost.day)}`}: {lost.why}
        </p>
      )}
      <div className="buttons">
        {lost === undefined && round !== undefined && (
          <a className="button" href={scoreHref(open.id, round.id, plot.id)}>
            Score plot {plot.code}
          </a>
        )}
        {lost === undefined && round === undefined && (
          <button type="button" className="button quiet" onClick={begin}>
            Begin a round at {plot.code}
          </button>
        )}
        <a className="button quiet" href={historyHref(open.id, 'plot', plot.id)}>
          Its history
        </a>
        <a className="button quiet" href={photosHref(open.id, plot.id)}>
          Its photos
        </a>
      </div>
      <LostPlot key={plot.id} {...{ open, plot }} lost={lost} />
    </div>
  );
}

function mapTitle(latest: Latest): string {
  if (latest === undefined) return 'The beds, by code';
  return `Round of ${longDay(latest.day)}: a plant fills in once it is scored`;
}

/** The bed drawn to scale; plots fill in as the latest round goes on. Codes only until the reveal. */
export function BedPlan({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const [lit, setLit] = useState<Pick>();
  const [ref, width] = useWidth<HTMLDivElement>();
  const { styles } = useLooks(trial);
  const names = namesOf(trial);
  const day = today();
  const latest = useMemo(
    () => datedRounds(trial).findLast((round) => round.day <= day),
    [trial, day],
  );
  const plants = usePlants(trial, latest);
  const plot = lit?.plot === undefined ? undefined : names.plot(lit.plot);
  return (
    <section className="bed-part bed-drawing" aria-labelledby="bed-map">
      <h2 id="bed-map">What stands where?</h2>
      <p className="soft small">
        {names.revealed
          ? 'Pick a plot to score it, to see what was entered, or to say that it is lost.'
          : 'Codes only until the reveal. Pick a plot to score it, to see what was entered, or to say that it is lost.'}
      </p>
      <div data-testid="bed-map">
        <div ref={ref} />
        {width > 0 && (
          <BedMap
            {...{ trial, styles, lit, width }}
            onPick={setLit}
            codesOnly={!names.revealed}
            title={mapTitle(latest)}
            target={56}
            {...(latest === undefined ? {} : { plants })}
          />
        )}
      </div>
      {plot !== undefined && <PickedPlot {...{ open, trial, plot }} />}
    </section>
  );
}
