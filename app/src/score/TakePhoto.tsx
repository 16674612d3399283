import { useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { keepPhoto, type PhotoAbout } from '../book/photos';

type State =
  | { readonly is: 'idle' }
  | { readonly is: 'keeping' }
  | { readonly is: 'kept'; readonly count: number }
  | { readonly is: 'failed'; readonly why: string };

/** Opens the camera; the picture is kept small, upright and without the place it was taken. */
export function TakePhoto(props: { readonly open: OpenBook; readonly about: PhotoAbout }) {
  const { open, about } = props;
  const announce = useAnnounce();
  const [state, setState] = useState<State>({ is: 'idle' });
  const take = async (files: FileList | null): Promise<void> => {
    const pictures = [...(files ?? [])];
    if (pictures.length === 0) return;
    setState({ is: 'keeping' });
    try {
      for (const picture of pictures) await keepPhoto(open, picture, about);
      setState({ is: 'kept', count: pictures.length });
      announce(pictures.length === 1 ? 'Photo kept.' : `${pictures.length} photos kept.`);
    } catch (fault) {
      setState({ is: 'failed', why: fault instanceof Error ? fault.message : String(fault) });
    }
  };
  return (
    <div className="take-photo">
      <label className="button quiet">
        Take a photo
        <input
          className="heard-only"
          type="file"
          accept="image/*"
          capture="environment"
          onChange={(event) => {
            const { files } = event.target;
            void take(files).then(() => (event.target.value = ''));
          }}
        />
      </label>
      {state.is === 'keeping' && <span>Keeping the photo …</span>}
      {state.is === 'kept' && (
        <span>{state.count === 1 ? 'Photo kept.' : `${state.count} photos kept.`}</span>
      )}
      {state.is === 'failed' && <span role="alert">{state.why}</span>}
    </div>
  );
}
