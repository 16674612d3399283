import type { Clash, Entry } from '@fairbed/notebook';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { type Known, plainKind, subjectOf, valueOf, writtenBy } from './entryWords';
import { thisDevice } from './useKnown';

type ClashProps = { readonly open: OpenBook; readonly known: Known; readonly clash: Clash };

/** Two or more entries about one thing, none of which knew of the others: one is to be chosen. */
function OneClash({ open, known, clash }: ClashProps) {
  const announce = useAnnounce();
  const { kind, thing, heads } = clash;
  const device = thisDevice();
  const standing = open.book.standing(kind, thing);
  const said = ({ value }: Entry): string =>
    value === null ? 'nothing' : valueOf(kind, thing, value, known);
  const choose = (entry: Entry): void => {
    // Written even where it stands already: it replaces both, and the clash is settled.
    void open.write(kind, thing, entry.value);
    announce(
      `${subjectOf(kind, thing, known)}: ${said(entry)}. The other one stays in the history.`,
    );
  };
  return (
    <li className="history-clash">
      <h3>{subjectOf(kind, thing, known)}</h3>
      <ul className="history-heads">
        {heads.map((entry) => (
          <li key={entry.id}>
            <p className="history-value">{said(entry)}</p>
            <p className="small">
              {writtenBy(entry, device)}
              {entry.id === standing?.id && '. It stands until you choose.'}
            </p>
            <button type="button" className="button" onClick={() => choose(entry)}>
              {entry.id === standing?.id ? 'Keep' : 'Take'} {said(entry)}
            </button>
          </li>
        ))}
      </ul>
    </li>
  );
}

const mostShown = 20;

/** Clashes to be settled; nothing where there is none. */
export function Clashes(props: {
  readonly open: OpenBook;
  readonly known: Known;
  readonly clashes: readonly Clash[];
}) {
  const { open, known, clashes } = props;
  if (clashes.length === 0) return null;
  return (
    <section className="history-clashes" aria-labelledby="clashes">
      <h2 id="clashes">
        {clashes.length === 1 ? 'Which of the two is right?' : 'Which of these are right?'}
      </h2>
      <p>
        They were entered on different devices that did not know of each other. Nothing is lost: the
        later one stands until you choose, and what you don’t take stays in the history.
      </p>
      <ul className="history-clash-list">
        {clashes.slice(0, mostShown).map((clash) => (
          <OneClash key={`${clash.kind} ${clash.thing}`} {...{ open, known, clash }} />
        ))}
      </ul>
      {clashes.length > mostShown && (
        <p>{clashes.length - mostShown} more are shown once these are settled.</p>
      )}
    </section>
  );
}

/** Whether an entry's kind may be written from its history: not what is done once and for all. */
export const isWritable = (entry: Pick<Entry, 'kind' | 'thing'>): boolean =>
  !['draw', 'seal', 'reveal'].includes(plainKind(entry));
