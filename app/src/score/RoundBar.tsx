import { useSaving } from '../book/useBook';
import type { OpenBook } from '../book/liveBook';

/** How far the round is, and whether all of it is on disk. */
export function RoundBar(props: {
  readonly open: OpenBook;
  readonly done: number;
  readonly of: number;
  /** A figure was just tapped and is written in a moment. */
  readonly isWaiting?: boolean;
}) {
  const { open, done, of, isWaiting = false } = props;
  const saving = useSaving(open);
  const words = {
    saved: isWaiting ? 'Saving …' : 'Saved',
    saving: 'Saving …',
    failed: 'Not saved',
  };
  return (
    <div className="round-bar">
      <progress max={of} value={done} aria-label="Plants scored or skipped in this round" />
      <span>
        {done} of {of}
      </span>
      <span className="soft">{words[saving.state]}</span>
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
