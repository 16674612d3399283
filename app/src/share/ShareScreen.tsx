import { BookPage } from '../book/BookPage';
import { useStorage } from '../book/health';
import type { OpenBook } from '../book/liveBook';
import { useTrialOf } from '../book/useBook';
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
  return (
    <BookPage id={id} className="bed-page" name="back-up" question="Is this trial safe?">
      {(open) => <SharePage open={open} />}
    </BookPage>
  );
}
