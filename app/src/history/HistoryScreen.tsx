import { BookPage } from '../book/BookPage';
import { useEffect, useMemo, useRef } from 'react';
import { UndoBar } from '../book/UndoBar';
import type { OpenBook } from '../book/liveBook';
import { historyHref, type HistoryRoute } from '../route';
import { goTo } from '../useRoute';
import { Choice } from '../verdict/Choice';
import { Clashes } from './Clashes';
import { EntryList } from './EntryList';
import { type Known, plainKind } from './entryWords';
import { OneThing } from './OneThing';
import { PlotHistory } from './PlotHistory';
import { useKnown } from './useKnown';
import '../style/bed.css';
import '../style/history.css';

const kinds = [
  { id: '', title: 'Everything' },
  { id: 'score', title: 'Figures' },
  { id: 'round', title: 'Rounds' },
  { id: 'spray', title: 'Sprays' },
  { id: 'event', title: 'What happened' },
  { id: 'harvest', title: 'Harvests' },
  { id: 'note', title: 'Notes' },
  { id: 'photo', title: 'Photos' },
  { id: 'lost-plot', title: 'Lost plots' },
  { id: 'plant', title: 'Plants' },
  { id: 'plan', title: 'The plan' },
  { id: 'draw', title: 'Layouts' },
  { id: 'seal', title: 'Seals' },
  { id: 'reveal', title: 'The reveal' },
] as const;

type Shown = { readonly open: OpenBook; readonly known: Known };

function Whole({ open, known, kind }: Shown & { readonly kind: string | undefined }) {
  // `known` is made anew whenever an entry comes.
  const entries = useMemo(() => {
    const all = open.book.entries();
    return kind === undefined ? all : all.filter((entry) => plainKind(entry) === kind);
  }, [open, known, kind]);
  const clashes = open.book.clashes().filter((clash) => kind === undefined || clash.kind === kind);
  return (
    <>
      <Clashes {...{ open, known, clashes }} />
      <Choice
        id="history-kind"
        label="Show"
        value={kind ?? ''}
        options={kinds}
        onChange={(next) => goTo(historyHref(open.id, next === '' ? undefined : next))}
      />
      <EntryList
        key={kind ?? ''}
        id={open.id}
        label="Entries, latest first"
        {...{ entries, known }}
      />
    </>
  );
}

function HistoryPage({ open, route }: { readonly open: OpenBook; readonly route: HistoryRoute }) {
  const known = useKnown(open);
  const { kind, thing } = route;
  return (
    <>
      <UndoBar open={open} />
      {kind === undefined || thing === undefined ? (
        <Whole {...{ open, known, kind }} />
      ) : kind === 'plot' ? (
        <PlotHistory key={thing} {...{ open, known }} plot={thing} />
      ) : (
        <OneThing {...{ open, known, kind, thing }} />
      )}
    </>
  );
}

/** From one figure to another the heading is gone to, as between screens. */
function useHeading(place: string) {
  const heading = useRef<HTMLHeadingElement>(null);
  const seen = useRef(place);
  useEffect(() => {
    if (seen.current === place) return;
    seen.current = place;
    window.scrollTo(0, 0);
    heading.current?.focus({ preventScroll: true });
  }, [place]);
  return heading;
}

/** What was entered: by whom, when, on which device, and what it replaced. */
export function HistoryScreen({ route }: { readonly route: HistoryRoute }) {
  const { id, kind = '', thing = '' } = route;
  const heading = useHeading(thing === '' ? '' : `${kind} ${thing}`);
  const trail =
    kind === '' ? undefined : (
      <>
        {' / '}
        <a href={historyHref(id)}>History</a>
      </>
    );
  return (
    <BookPage
      id={id}
      className="bed-page"
      name="history"
      question="Who entered what, and when?"
      headingRef={heading}
      trail={trail}
    >
      {(open) => <HistoryPage open={open} route={route} />}
    </BookPage>
  );
}
