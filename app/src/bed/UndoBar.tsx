import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { useSaving, useSteps } from '../book/useBook';

/** Whether all is on this device, and one step of this page back or forth. */
export function UndoBar({ open }: { readonly open: OpenBook }) {
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
    <div className="bed-kept">
      {saving.state === 'failed' ? (
        <p className="bed-fault" role="alert">
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
      {(steps.undo !== undefined || steps.redo !== undefined) && (
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
