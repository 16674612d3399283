import { useEffect, useState } from 'react';
import { aside } from './aside';
import type { OpenBook } from './liveBook';
import { readPhoto, storePhoto } from './photoStore';
import { reencode, type Reencoded } from './reencode';
import type { Darkroom } from './reencode.worker';
import { sha256 } from './sha256';

/** What a photo shows: at which round, of which plot and plant. Times are of the device's clock. */
export type PhotoAbout = {
  readonly round?: string;
  readonly plot?: string;
  readonly plant?: string;
  /** `2026-05-04`; today where it is left out. */
  readonly day?: string;
  /** `14:05`; now where it is left out. */
  readonly time?: string;
};

const two = (n: number): string => String(n).padStart(2, '0');

/** Day and time of day on this device's clock. */
export const dayAndTime = (now: Date): { readonly day: string; readonly time: string } => ({
  day: `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`,
  time: `${two(now.getHours())}:${two(now.getMinutes())}`,
});

const reencodeAside = (picture: Blob): Promise<Reencoded> =>
  typeof OffscreenCanvas === 'undefined'
    ? reencode(picture)
    : aside<Darkroom, Reencoded>(
        new Worker(new URL('./reencode.worker.ts', import.meta.url), { type: 'module' }),
        (darkroom) => darkroom.reencode(picture),
      );

async function readable(picture: Blob): Promise<Reencoded> {
  try {
    return await reencodeAside(picture);
  } catch (fault) {
    throw new Error(
      'This picture could not be read here. Choose a photo in JPEG, PNG or WebP, or take it anew.',
      { cause: fault },
    );
  }
}

/**
 * Keeps a photo: upright, at most 1600 pixels on its longer side, without its metadata (place,
 * camera). The entry is written only once the picture is on disk, so no entry ever points at
 * nothing. Settles with the photo's SHA-256 once both are.
 */
export async function keepPhoto(open: OpenBook, picture: Blob, about: PhotoAbout): Promise<string> {
  const { bytes, width, height, type } = await readable(picture);
  const hash = await sha256(bytes);
  await storePhoto(open.id, { hash, type, bytes });
  const value = {
    ...dayAndTime(new Date()),
    ...about,
    width,
    height,
    bytes: bytes.byteLength,
    type,
  };
  await open.write('photo', hash, value);
  return hash;
}

/**
 * An address for an `<img>`, given back to the browser when it is no longer shown. Undefined while
 * the photo is being read; null where this device does not have it.
 */
export function usePhotoUrl(hash: string): string | null | undefined {
  const [shown, setShown] = useState<{ readonly hash: string; readonly url: string | null }>();
  useEffect(() => {
    let made: string | undefined;
    let current = true;
    const show = (photo: Blob | undefined): void => {
      if (!current) return;
      made = photo && URL.createObjectURL(photo);
      setShown({ hash, url: made ?? null });
    };
    readPhoto(hash).then(show, () => show(undefined));
    return () => {
      current = false;
      if (made !== undefined) URL.revokeObjectURL(made);
    };
  }, [hash]);
  return shown?.hash === hash ? shown.url : undefined;
}
