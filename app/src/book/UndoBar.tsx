import { useAnnounce } from '../Announcer';
import type { OpenBook } from './liveBook';
import { useSaving, useSteps } from './useBook';

/** Whether all is on this device, and one step of this page back or forth. */
export function UndoBar(props: {
  readonly open: OpenBook;
  /** Whose classes it wears. On the plan the buttons stand there from the start. */
  readonly look?: 'bed' | 'plan';
}) {
  const { open, look = 'bed' } = props;
  const announce = useAnnounce();
  const saving = useSaving(open);
  const steps = useSteps(open);
  const undo = (): void => {
    // Not waited for: it shows at once, and a full disk must not keep it from being said.
    void open.undo();
    announce('Taken back.');
  };
  const redo = (): void => {
    void open.redo();
    announce('Done again.');
  };
  return (
    <div className={`${look}-kept`}>
      {saving.state === 'failed' ? (
        <p className={`${look}-fault`} role="alert">
          {saving.what} {saving.do}{' '}
          <button type="button" className="button quiet" onClick={open.retry}>
            Try again
          </button>
        </p>
      ) : (
        <p className="soft small" data-testid="kept">
          {saving.state === 'saved' ? 'All is kept on this device.' : 'Being kept …'}
        </p>
      )}
      {(look === 'plan' || steps.undo !== undefined || steps.redo !== undefined) && (
        <div className="buttons">
          <button type="button" className="button quiet" disabled={!steps.undo} onClick={undo}>
            Undo
          </button>
          <button type="button" className="button quiet" disabled={!steps.redo} onClick={redo}>
            Redo
          </button>
        </div>
      )}
    </div>
  );
}
