import { namesOf, revealThing, type Trial } from '@fairbed/trial';
import { useId, useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { longDay, today } from '../plan/today';
import { heldRounds, revealWouldBeEarly } from './rounds';

/** What has to be typed: one does not type it by mistake. */
const word = 'reveal';

function useReveal(open: OpenBook, onDone: () => void) {
  const announce = useAnnounce();
  const [fault, setFault] = useState<string>();
  const reveal = (why: string): void => {
    const reason = why.trim();
    const value = { day: today(), ...(reason === '' ? {} : { why: reason }) };
    // No step of the page: what was seen stays seen, and undo does not go back on it.
    open
      .writeForGood([{ kind: 'reveal', thing: revealThing, value }])
      .then(onDone, (wrong: unknown) =>
        setFault(wrong instanceof Error ? wrong.message : String(wrong)),
      );
    announce('The codes are revealed.');
  };
  return { reveal, fault };
}

type ActProps = {
  readonly open: OpenBook;
  readonly trial: Trial;
  readonly onDone: () => void;
  readonly onLeave: () => void;
};

function RevealForm({ open, trial, onDone, onLeave }: ActProps) {
  const id = useId();
  const [typed, setTyped] = useState('');
  const [why, setWhy] = useState('');
  const [asked, setAsked] = useState(false);
  const { reveal, fault } = useReveal(open, onDone);
  const early = revealWouldBeEarly(trial, today());
  const lacksWord = typed.trim().toLowerCase() !== word;
  const lacksWhy = early !== undefined && why.trim() === '';
  const send = (): void => {
    setAsked(true);
    if (!lacksWord && !lacksWhy) reveal(why);
  };
  return (
    <form
      className="bed-form"
      onSubmit={(event) => {
        event.preventDefault();
        send();
      }}
    >
      {early !== undefined && (
        <>
          <p className="bed-caution">
            The last planned round is on {longDay(early)}. To reveal before it is a departure from
            the plan, and every later figure counts as not blind.
          </p>
          <div className="field">
            <label htmlFor={`${id}why`}>Why now?</label>
            <input
              id={`${id}why`}
              type="text"
              maxLength={1000}
              value={why}
              onChange={(event) => setWhy(event.target.value)}
              aria-invalid={asked && lacksWhy}
            />
          </div>
        </>
      )}
      <div className="field">
        <label htmlFor={`${id}word`}>Type “{word}” to go on</label>
        <input
          id={`${id}word`}
          type="text"
          autoComplete="off"
          autoCapitalize="none"
          maxLength={20}
          value={typed}
          onChange={(event) => setTyped(event.target.value)}
          aria-invalid={asked && lacksWord}
        />
      </div>
      {asked && (lacksWord || lacksWhy) && (
        <p className="bed-fault" role="alert">
          {lacksWhy
            ? 'Write down why it is revealed before the last round.'
            : `Type the word ${word} in the field.`}
        </p>
      )}
      {fault !== undefined && (
        <p className="bed-fault" role="alert">
          It could not be revealed: {fault}
        </p>
      )}
      <div className="buttons">
        <button type="submit" className="button">
          Reveal the treatments
        </button>
        <button type="button" className="button quiet" onClick={onLeave}>
          Not now
        </button>
      </div>
    </form>
  );
}

/** The one deliberate act that shows which code is which treatment. */
export function RevealAct(props: {
  readonly open: OpenBook;
  readonly trial: Trial;
  /** Called once it is on disk. */
  readonly onDone?: () => void;
}) {
  const { open, trial, onDone = () => undefined } = props;
  const [asking, setAsking] = useState(false);
  if (namesOf(trial).revealed) return null;
  const held = heldRounds(trial).length;
  return (
    <div className="stack">
      <p>
        The reveal shows which code is which treatment, on every device of this trial. It is written
        down with its day and your name, and stands in the report. It can’t be hidden or undone:
        figures entered or changed after it count as not blind.
      </p>
      {held === 0 && <p className="bed-caution">No round has been scored yet.</p>}
      {asking ? (
        <RevealForm {...{ open, trial, onDone }} onLeave={() => setAsking(false)} />
      ) : (
        <button type="button" className="button quiet" onClick={() => setAsking(true)}>
          Reveal the codes …
        </button>
      )}
    </div>
  );
}
