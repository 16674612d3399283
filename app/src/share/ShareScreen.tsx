import { useEffect } from 'react';
import { untitled } from '../book/bookCards';
import { useStorage } from '../book/health';
import type { OpenBook } from '../book/liveBook';
import { useBook, useTrialOf } from '../book/useBook';
import { bedHref, shelfHref } from '../route';
import { Backup } from './Backup';
import { BringIn } from './BringIn';
import { Name, SecondDevice, Storage } from './Device';
import { Erase } from './Erase';
import { safetyWords } from './words';
import '../style/bed.css';
import '../style/share.css';

function SharePage({ open }: { readonly open: OpenBook }) {
  const trial = useTrialOf(open);
  const health = useStorage(open);
  return (
    <>
      <p className="lead" role="status">
        {health === undefined ? 'Looking at how it is kept …' : safetyWords(health)}
      </p>
      <div className="share-columns">
        <Backup {...{ open, trial }} />
        <BringIn id={open.id} />
        {health !== undefined && <Storage health={health} />}
        <Name />
        <SecondDevice />
      </div>
      {health !== undefined && (
        <Erase {...{ open }} title={trial.title} unsaved={health.entriesSinceBackup} />
      )}
    </>
  );
}

/** Back-up, files in and out, how this device keeps a trial, and a second device. */
export function ShareScreen({ id }: { readonly id: string }) {
  const book = useBook(id);
  const title = book.state === 'open' ? book.open.trial().title : undefined;
  useEffect(() => {
    document.title = `${title ?? untitled}, back-up · Fairbed`;
  }, [title]);
  return (
    <div className="bed-page">
      <p className="kicker">
        <a href={shelfHref}>Your trials</a>
        {title !== undefined && (
          <>
            {' / '}
            <a href={bedHref(id)}>{title}</a>
          </>
        )}
      </p>
      <h1 tabIndex={-1}>Is this trial safe?</h1>
      {book.state === 'opening' && <p role="status">Opening the trial …</p>}
      {book.state === 'missing' && (
        <p className="sheet">
          No trial with this address is kept on this device.{' '}
          <a href={shelfHref}>Go to your trials.</a>
        </p>
      )}
      {book.state === 'failed' && (
        <p className="sheet fault" role="alert">
          This trial could not be opened: {book.fault.message} Close other tabs of Fairbed and
          reload.
        </p>
      )}
      {book.state === 'open' && <SharePage open={book.open} />}
    </div>
  );
}
