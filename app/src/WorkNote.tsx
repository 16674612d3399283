import { useEffect } from 'react';
import { useAnnounce } from './Announcer';
import type { Work } from './work/useWork';

/** What long work is doing and how far it is, with leave to stop it. Nothing for the first 400 ms. */
export function WorkNote<T>({
  work,
  onStop,
}: {
  readonly work: Work<T>;
  readonly onStop: () => void;
}) {
  const announce = useAnnounce();
  const said = work.state === 'working' && work.said ? work.stage.doing : undefined;
  useEffect(() => {
    if (said !== undefined) announce(said);
  }, [said, announce]);
  if (work.state !== 'working' || !work.said) return null;
  return (
    <div className="work" data-testid="work">
      <span>{work.stage.doing} …</span>
      {work.stage.share === undefined ? (
        <progress aria-label={work.stage.doing} />
      ) : (
        <progress aria-label={work.stage.doing} value={work.stage.share} max={1} />
      )}
      {work.stoppable && (
        <button type="button" className="button quiet" onClick={onStop}>
          Stop
        </button>
      )}
    </div>
  );
}
