import { useBook, useTrialOf } from '../book/useBook';
import type { OpenBook } from '../book/liveBook';
import { bedHref } from '../route';
import { RevealAct } from './RevealAct';
import '../style/bed.css';

type GateProps = { readonly onRevealed: () => void };

function Gate({ open, onRevealed }: GateProps & { readonly open: OpenBook }) {
  const trial = useTrialOf(open);
  return (
    <section className="sheet stack" aria-labelledby="verdict-gate">
      <h2 id="verdict-gate">Looking now reveals the treatments</h2>
      <p>
        The codes of this trial are not revealed. Its verdict names the treatments, so whoever
        scores must not read it before the last round.
      </p>
      <RevealAct {...{ open, trial }} onDone={onRevealed} />
      <p>
        <a href={bedHref(open.id)}>Go back to the bed.</a>
      </p>
    </section>
  );
}

/** Stands before the verdict of a trial whose codes are not revealed. */
export function RevealGate({ id, onRevealed }: GateProps & { readonly id: string }) {
  const book = useBook(id);
  if (book.state === 'opening') return <p role="status">Opening the trial …</p>;
  if (book.state === 'open') return <Gate open={book.open} onRevealed={onRevealed} />;
  return (
    <p className="sheet fault" role="alert">
      {book.state === 'missing'
        ? 'This trial is not on this device any more.'
        : `This trial could not be opened: ${book.fault.message} Close other tabs of Fairbed and reload.`}
    </p>
  );
}
