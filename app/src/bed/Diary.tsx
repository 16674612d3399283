import type { Entry } from '@fairbed/notebook';
import { namesOf, openedForSpraying, type Trial } from '@fairbed/trial';
import { useMemo } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { longDay } from '../plan/today';
import { historyHref } from '../route';
import { EventForm, HarvestForm, NoteForm } from './DiaryForms';
import { diaryWords } from './diaryWords';
import { SprayGate } from './SprayForm';

const kinds = ['spray', 'event', 'harvest', 'note'] as const;

const dayOf = ({ value }: Entry): string => {
  const day = typeof value === 'object' && value !== null && 'day' in value ? value.day : '';
  return typeof day === 'string' ? day : '';
};

type DiaryProps = { readonly open: OpenBook; readonly trial: Trial };

function Line({ open, trial, entry }: DiaryProps & { readonly entry: Entry }) {
  const announce = useAnnounce();
  const { kind, thing, value } = entry;
  const words = diaryWords(kind, value, { trial, names: namesOf(trial) });
  const takeBack = (): void => {
    void open.write(kind, thing, null);
    announce('Taken back. It stays in the history.');
  };
  return (
    <li className="bed-diary">
      <p>
        <span className="soft">{longDay(dayOf(entry))}. </span>
        {words}
      </p>
      <div className="buttons">
        <a
          className="button quiet"
          href={historyHref(open.id, kind, thing)}
          aria-label={`History: ${words}`}
        >
          History
        </a>
        {!thing.startsWith(openedForSpraying) && (
          <button
            type="button"
            className="button quiet"
            onClick={takeBack}
            aria-label={`Take back: ${words}`}
          >
            Take back
          </button>
        )}
      </div>
    </li>
  );
}

/** Sprays, events, harvests and notes, latest first, and the forms to write them down. */
export function Diary({ open, trial }: DiaryProps) {
  // The trial is folded anew whenever an entry comes: so is the diary.
  const entries = useMemo(
    () =>
      kinds
        .flatMap((kind) => open.book.things(kind).map(([, entry]) => entry))
        .sort((a, b) => (dayOf(a) < dayOf(b) ? 1 : dayOf(a) > dayOf(b) ? -1 : 0)),
    [open, trial],
  );
  return (
    <section className="bed-part" aria-labelledby="bed-diary">
      <h2 id="bed-diary">What was done, and what happened?</h2>
      <SprayGate {...{ open, trial }} />
      <EventForm {...{ open, trial }} />
      <HarvestForm {...{ open, trial }} />
      <NoteForm {...{ open, trial }} />
      {entries.length === 0 ? (
        <p className="soft">
          Nothing is written down yet. A hailstorm or a spray explains later what the figures alone
          do not.
        </p>
      ) : (
        <ul className="bed-list" aria-label="Diary, latest first">
          {entries.map((entry) => (
            <Line key={`${entry.kind} ${entry.thing}`} {...{ open, trial, entry }} />
          ))}
        </ul>
      )}
    </section>
  );
}
