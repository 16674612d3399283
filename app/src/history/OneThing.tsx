import type { Entry, Json } from '@fairbed/notebook';
import { openedForSpraying, readScoreThing, recordKinds, type ScoreField } from '@fairbed/trial';
import { useAnnounce } from '../Announcer';
import { answer, Ask, EntryForm, type Sent } from '../bed/EntryForm';
import type { OpenBook } from '../book/liveBook';
import { useHistory } from '../book/useBook';
import { scoreHref } from '../route';
import { Clashes, isWritable } from './Clashes';
import { EntryLine } from './EntryList';
import { figureNames, type Known, subjectOf, valueOf } from './entryWords';
import { thisDevice } from './useKnown';

type ThingProps = {
  readonly open: OpenBook;
  readonly known: Known;
  readonly kind: string;
  readonly thing: string;
};

const inWords: ReadonlySet<ScoreField> = new Set(['note', 'skipped']);

function readCorrection(typed: string, thing: string, field: ScoreField): Json | string {
  if (inWords.has(field)) return typed;
  const number = Number(typed.replace(',', '.'));
  const value = typed === '' || !Number.isFinite(number) ? typed : number;
  const fault = recordKinds.find(({ name }) => name === 'score')?.read(thing, value);
  return fault === undefined ? value : `${figureNames[field]}: that can’t be. ${fault}`;
}

/** A new figure in place of the one that stands. The old one stays in the history. */
function Correct({ open, thing }: Pick<ThingProps, 'open' | 'thing'>) {
  const place = readScoreThing(thing);
  if (place === undefined) return null;
  const { field, round, plot, plant } = place;
  const stands = open.book.current('score', thing);
  const toRound = <a href={scoreHref(open.id, round, plot, plant)}>Open it in its round</a>;
  if (field === 'lost') return <p>To correct it: {toRound}.</p>;
  const read = (answers: FormData): Sent => {
    const typed = answer(answers, 'value');
    if (typed === '') return 'Write the right figure first, or take it back.';
    const value = readCorrection(typed, thing, field);
    return typeof value === 'string' && !inWords.has(field)
      ? value
      : [{ kind: 'score', thing, value }];
  };
  return (
    <EntryForm
      {...{ open, read }}
      send="Correct it"
      said="Corrected. The old one is in the history."
    >
      <Ask
        key={JSON.stringify(stands ?? null)}
        name="value"
        label={`${figureNames[field]}, as it should be`}
        start={typeof stands === 'number' || typeof stands === 'string' ? `${stands}` : ''}
        figures={!inWords.has(field)}
      />
      {toRound}
    </EntryForm>
  );
}

function PutBack(props: ThingProps & { readonly entry: Entry }) {
  const { open, known, kind, thing, entry } = props;
  const announce = useAnnounce();
  const words = kind === 'plan' ? 'the earlier answer' : valueOf(kind, thing, entry.value, known);
  const put = (): void => {
    void open.write(kind, thing, entry.value);
    announce(`Put back: ${words}.`);
  };
  return (
    <button
      type="button"
      className="button quiet"
      aria-label={`Put it back: ${words}`}
      onClick={put}
    >
      Put it back
    </button>
  );
}

/** All that was entered about one thing; to be corrected, taken back, or an earlier value put back. */
export function OneThing(props: ThingProps) {
  const { open, known, kind, thing } = props;
  const announce = useAnnounce();
  const history = useHistory(open, kind, thing);
  const standing = open.book.standing(kind, thing);
  const device = thisDevice();
  const free = isWritable({ kind, thing }) && !thing.startsWith(openedForSpraying);
  const clashes = open.book
    .clashes()
    .filter((clash) => clash.kind === kind && clash.thing === thing);
  const same = (entry: Entry): boolean =>
    JSON.stringify(entry.value) === JSON.stringify(standing?.value ?? null);
  const takeBack = (): void => {
    void open.write(kind, thing, null);
    announce('Taken back. It stays in the history.');
  };
  if (history.length === 0) return <p className="sheet">Nothing was ever entered here.</p>;
  return (
    <>
      <p className="lead">
        {subjectOf(kind, thing, known)}
        {kind !== 'plan' && `: ${valueOf(kind, thing, standing?.value ?? null, known)}`}
      </p>
      <Clashes {...{ open, known, clashes }} />
      {free && kind === 'score' && <Correct {...{ open, thing }} />}
      {free && kind !== 'plan' && standing !== undefined && standing.value !== null && (
        <button type="button" className="button quiet" onClick={takeBack}>
          Take it back
        </button>
      )}
      <section aria-labelledby="thing-history">
        <h2 id="thing-history">All that was entered here, latest first</h2>
        <ol className="history-list">
          {history.toReversed().map((entry) => (
            <EntryLine
              key={entry.id}
              {...{ entry, known, device }}
              mark={entry.id === standing?.id ? 'Stands' : undefined}
            >
              {free && entry.value !== null && !same(entry) && <PutBack {...props} entry={entry} />}
            </EntryLine>
          ))}
        </ol>
      </section>
    </>
  );
}
