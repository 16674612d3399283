import { readDay } from '@fairbed/field';
import type { Json } from '@fairbed/notebook';
import type { Trial } from '@fairbed/trial';
import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { longDay, today } from '../plan/today';
import { historyHref, scoreHref } from '../route';
import { goTo } from '../useRoute';
import { counted } from '../verdict/numbers';
import { answer, Ask, EntryForm, type Sent } from './EntryForm';
import { beginRound, datedRounds, type RoundRow, roundRows, roundUnderWay } from './rounds';

function lateWords(late: number | undefined): string {
  if (late === undefined || late === 0) return '';
  return late > 0 ? `, ${counted(late, 'day')} late` : `, ${counted(-late, 'day')} early`;
}

function countWords({ counts }: RoundRow): string {
  if (counts === undefined) return '';
  const { scored, skipped, missing, lost } = counts;
  const of = scored + skipped + missing;
  if (scored + skipped === 0) return `Nothing of ${counted(of, 'plant')} is scored yet.`;
  const parts = [
    `${scored} of ${counted(of, 'plant')} scored`,
    ...(skipped > 0 ? [`${skipped} skipped`] : []),
    ...(missing > 0 ? [`${missing} missing`] : []),
    ...(lost > 0 ? [`${lost} lost`] : []),
  ];
  return `${parts.join(', ')}.`;
}

const stateWords: Readonly<Record<RoundRow['state'], string>> = {
  held: 'Held',
  open: 'Begun',
  missed: 'Missed',
  overdue: 'Overdue',
  today: 'Due today',
  ahead: 'Planned',
};

function rowWords(row: RoundRow): string {
  const { number, planned, round, late, state } = row;
  const name = number === undefined ? 'A round that was not planned' : `Round ${number}`;
  if (round === undefined) return `${name}, ${longDay(planned ?? '')}`;
  const tail = state === 'held' ? 'held' : 'begun';
  return `${name}, ${tail} on ${longDay(round.day)}${lateWords(late)}`;
}

const fieldsOf = (value: Json | undefined): { readonly [key: string]: Json } =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as { readonly [key: string]: Json })
    : {};

type RowProps = { readonly open: OpenBook; readonly trial: Trial; readonly row: RoundRow };

/** The day of a round, to be put right: the walk was held on another day than the phone said. */
function CorrectDay({ open, trial, row }: RowProps) {
  const { round } = row;
  if (round === undefined) return null;
  const read = (answers: FormData): Sent => {
    const day = readDay(answer(answers, 'day'));
    if (day === undefined) return 'Choose the day on which the round was held.';
    const other = datedRounds(trial).find((one) => one.day === day && one.id !== round.id);
    if (other !== undefined) {
      return `There is a round of ${longDay(day)} already: of one day there is one round.`;
    }
    const was = open.book.current('round', round.id);
    return [{ kind: 'round', thing: round.id, value: { ...fieldsOf(was), day } }];
  };
  return (
    <details>
      <summary>Correct its day</summary>
      <EntryForm {...{ open, read }} send="Correct the day" said="The day is corrected.">
        <Ask name="day" type="date" label="Held on" start={round.day} />
        <a href={historyHref(open.id, 'round', round.id)}>What it was before</a>
      </EntryForm>
    </details>
  );
}

function Row({ open, trial, row }: RowProps) {
  const { round, state } = row;
  return (
    <li className="bed-round" data-state={state}>
      <p>
        <strong className="bed-state">{stateWords[state]}</strong> {rowWords(row)}.{' '}
        {countWords(row)}
        {round?.blind === false && ' Not blind.'}
      </p>
      {round !== undefined && (
        <div className="buttons">
          <a className="button quiet" href={scoreHref(open.id, round.id)}>
            {state === 'open' ? 'Go on' : 'Look at it'}
          </a>
          <CorrectDay {...{ open, trial, row }} />
        </div>
      )}
    </li>
  );
}

/** Begins a round of today and goes into it. */
function Begin({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const announce = useAnnounce();
  const [baseline, setBaseline] = useState(false);
  const day = today();
  const under = roundUnderWay(trial, day);
  if (under !== undefined && under.day === day) {
    return (
      <a className="button quiet" href={scoreHref(open.id, under.id)}>
        Go on with the round of today
      </a>
    );
  }
  const begin = (): void => {
    const round = beginRound(open, day, { baseline });
    announce('The round is begun.');
    goTo(scoreHref(open.id, round));
  };
  const unsealed = trial.plan?.sealed === undefined && trial.scores.length === 0;
  return (
    <div className="stack">
      {unsealed && (
        <label className="bed-check">
          <input
            type="checkbox"
            checked={baseline}
            onChange={(event) => setBaseline(event.target.checked)}
          />
          Before any treatment (baseline; nothing is stripped)
        </label>
      )}
      <button type="button" className="button quiet" onClick={begin}>
        Begin a round
      </button>
    </div>
  );
}

/** The rounds of a trial: planned, held, missed and late. */
export function Rounds({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const rows = roundRows(trial, today());
  return (
    <section className="bed-part" aria-labelledby="bed-rounds">
      <h2 id="bed-rounds">When is it scored?</h2>
      <Begin {...{ open, trial }} />
      {rows.length === 0 ? (
        <p className="soft">
          No round is planned or held yet. A round is one walk past every plot, all on one day.
        </p>
      ) : (
        <ol className="bed-list" aria-label="Rounds">
          {rows.map((row) => (
            <Row key={row.round?.id ?? `plan ${row.number}`} {...{ open, trial, row }} />
          ))}
        </ol>
      )}
    </section>
  );
}
