import { lazy, Suspense, useEffect, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { PlanButton } from '../plan/PlanButton';
import { ChooseFile } from '../sheet/ChooseFile';
import type { Card } from './card';
import { putOn, takeOff } from './cards';
import { DemoCards } from './DemoCards';
import { RemovedTrials } from './RemovedTrials';
import { TrialCard } from './TrialCard';
import { type Shelf, useShelf } from './useShelf';
import { useAfterPaint } from '../useAfterPaint';

// Books are looked into once the shelf itself is on screen.
const NowPanel = lazy(() => import('../now/NowPanel').then((part) => ({ default: part.NowPanel })));

function Opening() {
  return (
    <section className="sheet opening" aria-labelledby="bring">
      <div className="stack">
        <h2 id="bring">Bring in a spreadsheet</h2>
        <p>
          Drop a CSV or XLSX file anywhere on this page, or choose one. One row for each plant or
          plot and date, or one column for each date. Any headings will do.
        </p>
        <div className="buttons">
          <ChooseFile label="Choose a spreadsheet" />
        </div>
        <p className="soft small">
          A data package (zip) from Fairbed comes back whole. Nothing leaves this device.
        </p>
      </div>
    </section>
  );
}

function UndoStrip({ undo, onDone }: { readonly undo: Card; readonly onDone: () => void }) {
  const announce = useAnnounce();
  const back = (): void => {
    void putOn(undo).then(() => {
      announce(`${undo.title} is back on the shelf.`);
      onDone();
    });
  };
  return (
    <div className="undo" role="group" aria-label="Removed">
      <span>
        Removed <strong>{undo.title}</strong>.
      </span>
      <button type="button" className="button quiet" onClick={back}>
        Put it back
      </button>
    </div>
  );
}

function Trials({ shelf }: { readonly shelf: Shelf }) {
  const announce = useAnnounce();
  const [undo, setUndo] = useState<Card>();
  const remove = (card: Card): void => {
    void takeOff(card, Date.now()).then(() => {
      setUndo(card);
      announce(`Removed ${card.title}. It can be put back.`);
    });
  };
  const undoable = undo !== undefined && shelf.removed.some((card) => card.id === undo.id);
  return (
    <>
      {undoable && <UndoStrip undo={undo} onDone={() => setUndo(undefined)} />}
      {shelf.cards.length > 0 && (
        <ul className="cards" aria-label="Your trials">
          {shelf.cards.map((card) => (
            <TrialCard
              key={card.id}
              card={card}
              summary={shelf.summaries.get(card.id)}
              onRemove={() => remove(card)}
            />
          ))}
        </ul>
      )}
      {shelf.cards.length === 0 && (
        <p className="lead">
          No trial of yours yet. Plan one, bring in the sheet you scored into, or open an example
          first to see what an answer looks like.
        </p>
      )}
      <div className="buttons">
        <PlanButton />
      </div>
    </>
  );
}

/** What needs doing in the trials that are books. */
function Now({ books }: { readonly books: readonly Card[] }) {
  const painted = useAfterPaint();
  const waiting = (
    <p className="lead" role="status">
      Looking into your trials …
    </p>
  );
  return (
    <>
      <Suspense fallback={waiting}>
        {painted ? <NowPanel ids={books.map(({ id }) => id)} /> : waiting}
      </Suspense>
      <h2>Your trials</h2>
    </>
  );
}

/** The trials on this device, the invented examples, and the way in for a spreadsheet. */
export function ShelfScreen() {
  const state = useShelf();
  useEffect(() => {
    document.title = 'Your trials · Fairbed';
  }, []);
  const books = state.state === 'read' ? state.shelf.cards.filter(({ book }) => book) : [];
  return (
    <div className="shelf">
      <h1 tabIndex={-1}>
        {books.length > 0 ? 'What needs doing today?' : 'Which trial do you want to look at?'}
      </h1>
      <div className="shelf-grid">
        <div className="shelf-main stack-wide">
          {books.length > 0 && <Now books={books} />}
          {state.state === 'read' && <Trials shelf={state.shelf} />}
          {state.state === 'failed' && (
            <p className="sheet fault" role="alert">
              The trials kept in this browser could not be read: {state.fault.message} Close other
              tabs of Fairbed and reload. In a private window nothing can be kept.
            </p>
          )}
          <DemoCards summaries={state.state === 'read' ? state.shelf.summaries : undefined} />
          {state.state === 'read' && <RemovedTrials removed={state.shelf.removed} />}
        </div>
        <Opening />
      </div>
    </div>
  );
}
