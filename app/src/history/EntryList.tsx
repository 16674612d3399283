import type { Entry } from '@fairbed/notebook';
import { type ReactNode, useState } from 'react';
import { counted, groupedText } from '../verdict/numbers';
import { type Known, plainKind, sentenceOf, writtenBy } from './entryWords';
import { thisDevice } from './useKnown';
import { historyHref } from '../route';

const pageLength = 50;

/** One entry: what it says, who wrote it, on which device and when. */
export function EntryLine(props: {
  readonly entry: Entry;
  readonly known: Known;
  readonly device: string;
  readonly mark?: string | undefined;
  /** Where all of its thing is shown. */
  readonly href?: string;
  readonly children?: ReactNode;
}) {
  const { entry, known, device, mark, href, children } = props;
  const sentence = sentenceOf(entry, known);
  return (
    <li className="history-line">
      <div>
        <p>
          {mark !== undefined && <strong className="bed-state">{mark}</strong>}{' '}
          {href === undefined ? (
            sentence
          ) : (
            <a className="history-link" href={href}>
              {sentence}
            </a>
          )}
        </p>
        <p className="soft small">{writtenBy(entry, device)}</p>
      </div>
      {children}
    </li>
  );
}

/** Entries, latest first, so many at a time. */
export function EntryList(props: {
  readonly id: string;
  /** In order of the clock. */
  readonly entries: readonly Entry[];
  readonly known: Known;
  readonly label: string;
}) {
  const { id, entries, known, label } = props;
  const [page, setPage] = useState(0);
  const device = thisDevice();
  const pages = Math.max(1, Math.ceil(entries.length / pageLength));
  const at = Math.min(page, pages - 1);
  const end = entries.length - at * pageLength;
  const shown = entries.slice(Math.max(0, end - pageLength), end).toReversed();
  if (entries.length === 0) return <p className="soft">Nothing was entered yet.</p>;
  const first = at * pageLength + 1;
  const turn = (
    <div className="buttons history-turn">
      <button
        type="button"
        className="button quiet"
        disabled={at === 0}
        onClick={() => setPage(at - 1)}
      >
        Newer
      </button>
      <span>
        {groupedText(String(first))} to {groupedText(String(first + shown.length - 1))} of{' '}
        {counted(entries.length, 'entry', 'entries')}
      </span>
      <button
        type="button"
        className="button quiet"
        disabled={at >= pages - 1}
        onClick={() => setPage(at + 1)}
      >
        Older
      </button>
    </div>
  );
  return (
    <>
      {pages > 1 && turn}
      <ol className="history-list" aria-label={label}>
        {shown.map((entry) => (
          <EntryLine
            key={entry.id}
            {...{ entry, known, device }}
            href={historyHref(id, plainKind(entry), entry.thing)}
          />
        ))}
      </ol>
      {pages > 1 && turn}
    </>
  );
}
