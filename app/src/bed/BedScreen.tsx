import { BookPage } from '../book/BookPage';
import { namesOf, type Trial, whatsDue } from '@fairbed/trial';
import { useMemo } from 'react';
import type { OpenBook } from '../book/liveBook';
import { dayAndTime } from '../book/photos';
import { useTrialOf } from '../book/useBook';
import { DueItem } from '../now/DueItem';
import { longDay, today } from '../plan/today';
import {
  bedHref,
  historyHref,
  photosHref,
  planHref,
  shareHref,
  stakesHref,
  trialHref,
} from '../route';
import { TakenNote } from '../share/TakenNote';
import { BedPlan } from './BedPlan';
import { Departures } from './Departures';
import { Diary } from './Diary';
import { LeftOut } from './LeftOut';
import { RevealAct } from './RevealAct';
import { Rounds } from './Rounds';
import { UndoBar } from '../book/UndoBar';
import '../style/bed.css';
import '../style/now.css';

function Comes({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const day = today();
  const list = useMemo(() => {
    const { time } = dayAndTime(new Date());
    return whatsDue(trial, { day, time });
  }, [trial, day]);
  if (list.length === 0) return <p className="lead">Nothing is to be done here now.</p>;
  return (
    <ul className="dues" aria-label="What comes next">
      {list.map((due, i) => (
        <DueItem
          key={`${due.code} ${i}`}
          {...{ due, trial }}
          id={open.id}
          today={day}
          here={bedHref(open.id)}
        />
      ))}
    </ul>
  );
}

function Ways({ id, planned }: { readonly id: string; readonly planned: boolean }) {
  const ways = [
    [planHref(id), 'Plan'],
    [stakesHref(id), 'Stakes and maps'],
    [photosHref(id), 'Photos'],
    [historyHref(id), 'History'],
    [shareHref(id), 'Back-up and sharing'],
    [trialHref(id), 'Verdict'],
  ] as const;
  const shown = planned ? ways : ways.filter(([, name]) => name !== 'Verdict');
  return (
    <nav className="bed-ways" aria-label="This trial">
      {shown.map(([href, name]) => (
        <a key={href} className="button quiet" href={href}>
          {name}
        </a>
      ))}
    </nav>
  );
}

function Reveal({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const { reveal } = trial;
  if (trial.plots.length === 0) return null;
  if (reveal === undefined && namesOf(trial).revealed) return null;
  return (
    <section className="bed-part" aria-labelledby="bed-reveal">
      <h2 id="bed-reveal">Which code is which treatment?</h2>
      {reveal === undefined ? (
        <RevealAct {...{ open, trial }} />
      ) : (
        <>
          <p>
            The codes were revealed on <strong>{longDay(reveal.day)}</strong>
            {reveal.why === undefined ? '.' : ` (${reveal.why}).`} The map names the treatments.
          </p>
          <a className="button" href={trialHref(open.id)}>
            Read the verdict
          </a>
        </>
      )}
    </section>
  );
}

function BedPage({ open }: { readonly open: OpenBook }) {
  const trial = useTrialOf(open);
  return (
    <>
      <TakenNote id={open.id} />
      <UndoBar open={open} />
      <Comes {...{ open, trial }} />
      <Ways id={open.id} planned={trial.plots.length > 0} />
      {trial.plots.length === 0 ? (
        <p className="sheet">
          No plot is laid out yet, so there is no bed to show. The plan draws one, by lot.{' '}
          <a href={planHref(open.id)}>Go to the plan.</a>
        </p>
      ) : (
        <div className="bed-columns">
          <BedPlan {...{ open, trial }} />
          <div className="bed-parts">
            <Rounds {...{ open, trial }} />
            <Diary {...{ open, trial }} />
            <Reveal {...{ open, trial }} />
            <Departures {...{ open, trial }} />
            <LeftOut open={open} />
          </div>
        </div>
      )}
    </>
  );
}

/** The bed of a trial: what comes next, the map, its rounds, what was done, and the reveal. */
export function BedScreen({ id }: { readonly id: string }) {
  return (
    <BookPage id={id} className="bed-page" name="bed" question="What comes next in this bed?">
      {(open) => <BedPage open={open} />}
    </BookPage>
  );
}
