import type { Judgement } from '@fairbed/verdict';
import { lazy, Suspense, useEffect, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { type View, shelfHref, trialHref } from '../route';
import { summaryOf } from '../shelf/card';
import { summarise } from '../shelf/store';
import { replaceAddress } from '../useRoute';
import { WorkNote } from '../WorkNote';
import { askOf } from '../work/ask';
import type { Held } from '../work/desk';
import { heldNow, isRestatedDemo, openTrial, restateTrial, stopJudging } from '../work/trials';
import { type Work, useWork } from '../work/useWork';
import { nearestAsks } from './choices';
import { type Facts, factsOf } from './facts';
import { useJudgement, useRounds, useWorkAhead } from './useJudgement';
import { VerdictPage } from './VerdictPage';

const RevealGate = lazy(() =>
  import('../bed/RevealGate').then((part) => ({ default: part.RevealGate })),
);

/** A trial scored here by codes that are not revealed yet: its verdict would tell the scorer. */
const isBlind = ({ book, trial }: Held): boolean =>
  book && trial.reveal === undefined && trial.plots.some(({ code }) => code !== undefined);

function Note(props: {
  readonly work: Work<Judgement>;
  readonly answered: boolean;
  readonly onAgain: () => void;
}) {
  const { work, answered, onAgain } = props;
  return (
    <>
      <WorkNote work={work} onStop={stopJudging} />
      {work.state === 'stopped' && (
        <div className="work">
          <span>Stopped.{answered ? ' Some figures below may be missing.' : ''}</span>
          <button type="button" className="button quiet" onClick={onAgain}>
            Work it out
          </button>
        </div>
      )}
      {work.state === 'failed' && (
        <div className="sheet fault" role="alert">
          <p>This could not be worked out: {work.fault.message}</p>
          <button type="button" className="button quiet" onClick={onAgain}>
            Try again
          </button>
        </div>
      )}
    </>
  );
}

function Judged({
  id,
  held,
  view,
  onHeld,
}: {
  readonly id: string;
  readonly held: Held;
  readonly view: View;
  readonly onHeld: (held: Held) => void;
}) {
  const announce = useAnnounce();
  const ask = askOf(view);
  const asked = JSON.stringify(ask);
  const [turn, setTurn] = useState(0);
  const [fault, setFault] = useState<Error>();
  const facts = JSON.stringify(factsOf(held.trial));
  const visiting = isRestatedDemo(id);
  const { verdict, judgement, proof, proven, work } = useJudgement(id, ask, `${facts} ${turn}`);
  const rounds = useRounds(id, held, proof !== undefined);
  useWorkAhead(
    id,
    () => (judgement ? nearestAsks(view, held, judgement, rounds) : []),
    work.state === 'done' && rounds.length > 0 ? `${asked} ${facts} ${turn}` : undefined,
  );
  useEffect(() => {
    if (!verdict) return;
    announce(verdict.verdict.sentence);
    // The card carries the trial's own answer, not one asked for in passing.
    if (asked === '{}' && !visiting) void summarise(id, summaryOf(verdict, __FAIRBED_VERSION__));
  }, [verdict, asked, visiting, id, announce]);
  const restate = (next: Facts): void => {
    restateTrial(id, next).then(
      (restated) => {
        setFault(undefined);
        onHeld(restated);
      },
      (why: unknown) => setFault(why instanceof Error ? why : new Error(String(why))),
    );
  };
  const note = (
    <>
      <Note
        work={work}
        answered={judgement !== undefined}
        onAgain={() => setTurn((was) => was + 1)}
      />
      {fault && (
        <p className="sheet fault" role="alert">
          This could not be kept: {fault.message} Nothing was changed.
        </p>
      )}
    </>
  );
  if (!judgement) return note;
  return (
    <VerdictPage
      id={id}
      held={held}
      judgement={judgement}
      proof={proof}
      proven={proven}
      rounds={rounds}
      view={view}
      onView={(next) => replaceAddress(trialHref(id, next))}
      onFacts={restate}
      visiting={visiting}
      note={note}
      stale={verdict === undefined && work.state === 'working'}
      busy={work.state === 'working'}
    />
  );
}

/** One trial: opened from this device, judged in the worker, shown. */
export function TrialScreen({ id, view }: { readonly id: string; readonly view: View }) {
  const [turn, setTurn] = useState(0);
  const work = useWork(
    `${turn}`,
    (report) => openTrial(id, report),
    () => heldNow(id),
  );
  const [restated, setRestated] = useState<Held>();
  const held = restated ?? (work.state === 'done' ? work.value : undefined);
  const title = held?.trial.title;
  useEffect(() => {
    document.title = title === undefined ? 'Fairbed' : `${title} · Fairbed`;
  }, [title]);
  return (
    <div className="verdict">
      <p className="kicker">
        <span className="screen-only">
          <a href={shelfHref}>Your trials</a>
          {title !== undefined && ' / '}
        </span>
        {title}
      </p>
      <h1 tabIndex={-1}>Which treatment worked?</h1>
      {held?.trial.invented && (
        <p className="invented-strip">
          <span className="stamp">Invented</span> Made up to show what Fairbed does.
        </p>
      )}
      <WorkNote work={work} onStop={stopJudging} />
      {work.state === 'stopped' && (
        <button type="button" className="button" onClick={() => setTurn((was) => was + 1)}>
          Open the trial
        </button>
      )}
      {work.state === 'failed' && (
        <p className="sheet fault" role="alert">
          This trial could not be opened: {work.fault.message}
        </p>
      )}
      {work.state === 'done' && held === undefined && (
        <p className="sheet">
          No trial with this address is kept on this device. It may have been erased, or belong to
          another browser. <a href={shelfHref}>Go to your trials.</a>
        </p>
      )}
      {held && isBlind(held) && (
        <Suspense>
          <RevealGate id={id} onRevealed={() => setTurn((was) => was + 1)} />
        </Suspense>
      )}
      {held && !isBlind(held) && <Judged id={id} held={held} view={view} onHeld={setRestated} />}
    </div>
  );
}
