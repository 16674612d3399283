import { useSaving } from '../book/useBook';
import type { OpenBook } from '../book/liveBook';

/** How far the round is, and whether all of it is on disk. */
export function RoundBar(props: {
  readonly open: OpenBook;
  readonly done: number;
  readonly of: number;
}) {
  const { open, done, of } = props;
  const saving = useSaving(open);
  return (
    <div className="round-bar">
      <progress max={of} value={done} aria-label="Plants scored or skipped in this round" />
      <span>
        {done} of {of}
      </span>
      <span className="soft">
        {saving.state === 'saved' ? 'Saved' : saving.state === 'saving' ? 'Saving …' : 'Not saved'}
      </span>
      {saving.state === 'failed' && (
        <p className="caution-note" role="alert">
          {saving.what} {saving.do}{' '}
          <button type="button" className="button quiet" onClick={open.retry}>
            Try again
          </button>
        </p>
      )}
    </div>
  );
}
