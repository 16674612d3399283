import type { Names } from '@fairbed/trial';
import { useEffect, useRef } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { historyHref } from '../route';
import type { Photo } from './album';
import { photoWords, Picture } from './PhotoTile';

/** One photo over the whole screen, with the way to the next and back. */
export function FullView(props: {
  readonly open: OpenBook;
  readonly names: Names;
  readonly photos: readonly Photo[];
  readonly at: number;
  readonly onAt: (at: number) => void;
  readonly onClose: () => void;
}) {
  const { open, names, photos, at, onAt, onClose } = props;
  const announce = useAnnounce();
  const dialog = useRef<HTMLDialogElement>(null);
  const photo = photos[at];
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  if (photo === undefined) return null;
  const words = photoWords(photo, names);
  const takeBack = (): void => {
    void open.write('photo', photo.hash, null);
    announce('The photo is taken out of the album. It stays in the history.');
    onClose();
  };
  return (
    <dialog
      ref={dialog}
      className="photo-full"
      aria-label={words}
      onClose={onClose}
      onKeyDown={(event) => {
        if (event.key === 'ArrowLeft' && at > 0) onAt(at - 1);
        if (event.key === 'ArrowRight' && at < photos.length - 1) onAt(at + 1);
      }}
    >
      <div className="photo-full-picture">
        <Picture photo={photo} alt={words} />
      </div>
      <p aria-live="polite">
        {words} ({at + 1} of {photos.length})
      </p>
      <div className="buttons">
        <button
          type="button"
          className="button quiet"
          disabled={at === 0}
          onClick={() => onAt(at - 1)}
        >
          Earlier
        </button>
        <button
          type="button"
          className="button quiet"
          disabled={at >= photos.length - 1}
          onClick={() => onAt(at + 1)}
        >
          Later
        </button>
        <button type="button" className="button" onClick={onClose}>
          Close
        </button>
        <a className="button quiet" href={historyHref(open.id, 'photo', photo.hash)}>
          History
        </a>
        <button type="button" className="button quiet" onClick={takeBack}>
          Take it out
        </button>
      </div>
    </dialog>
  );
}
