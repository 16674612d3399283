import type { Trial } from '@fairbed/trial';
import { useEffect, useId, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { packageOf, saveBackup } from '../book/exchange';
import type { OpenBook } from '../book/liveBook';
import { photosOf } from '../book/photoStore';
import { counted } from '../verdict/numbers';
import { sizeText } from './words';

type Sizes = { readonly plain: number; readonly photos: number; readonly bytes: number };

const words = (fault: unknown): string => (fault instanceof Error ? fault.message : String(fault));

/** Size of the file without photos, how many photos are here, and what they add. */
function useSizes(open: OpenBook, trial: Trial): Sizes | undefined {
  const [sizes, setSizes] = useState<Sizes>();
  const photos = trial.photos ?? [];
  const bytesOf = photos.map(({ hash, bytes }) => `${hash} ${bytes}`).join('\n');
  useEffect(() => {
    let current = true;
    const measure = async (): Promise<void> => {
      const [blob, here] = await Promise.all([
        packageOf(open, { photos: false }),
        photosOf(open.id),
      ]);
      const bytes = bytesOf
        .split('\n')
        .filter((line) => here.includes(line.split(' ')[0] ?? ''))
        .reduce((sum, line) => sum + Number(line.split(' ')[1] ?? 0), 0);
      if (current) setSizes({ plain: blob.size, photos: here.length, bytes });
    };
    // Without sizes the file is saved all the same; what is wrong is said then.
    measure().catch(() => undefined);
    return () => {
      current = false;
    };
  }, [open, bytesOf]);
  return sizes;
}

/** Saves the whole trial as a file: with its photos, or small without them. */
export function Backup({ open, trial }: { readonly open: OpenBook; readonly trial: Trial }) {
  const announce = useAnnounce();
  const id = useId();
  const sizes = useSizes(open, trial);
  const [photos, setPhotos] = useState(true);
  const [state, setState] = useState<'idle' | 'saving' | 'saved'>('idle');
  const [fault, setFault] = useState<string>();
  const save = (): void => {
    setState('saving');
    setFault(undefined);
    saveBackup(open, { photos }).then(
      () => {
        setState('saved');
        announce('The back-up is in your downloads.');
      },
      (wrong: unknown) => {
        setState('idle');
        setFault(words(wrong));
      },
    );
  };
  const count = sizes?.photos ?? trial.photos?.length ?? 0;
  const size = sizes && sizes.plain + (photos ? sizes.bytes : 0);
  return (
    <section className="bed-part" aria-labelledby={id}>
      <h2 id={id}>Save a back-up</h2>
      <p>
        One file holds every entry with its whole history, and opens on any device with Fairbed. It
        is an open data package: a zip of plain tables that other programs read too.
      </p>
      {count > 0 && (
        <label className="bed-check share-check">
          <input
            type="checkbox"
            checked={photos}
            onChange={(event) => setPhotos(event.target.checked)}
          />
          With {counted(count, 'photo')}
          {sizes !== undefined && `, ${sizeText(sizes.bytes)} more`}
        </label>
      )}
      <div className="buttons">
        <button
          type="button"
          className="button"
          aria-disabled={state === 'saving'}
          onClick={() => state !== 'saving' && save()}
        >
          {state === 'saving' ? 'Being saved …' : 'Save a back-up'}
        </button>
        {size !== undefined && <span className="soft">About {sizeText(size)}</span>}
      </div>
      {state === 'saved' && <p>It is in your downloads. Keep it on another device or disk.</p>}
      {fault !== undefined && (
        <p className="bed-fault" role="alert">
          The back-up could not be saved: {fault}
        </p>
      )}
    </section>
  );
}
