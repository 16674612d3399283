import { onBooks, type StoredPhoto } from './database';
import { copyPhoto } from './secondCopy';

/** A photo's bytes under their SHA-256. */
export type PhotoBytes = Pick<StoredPhoto, 'hash' | 'type' | 'bytes'>;

type PhotoPlace = {
  get(hash: string): Promise<StoredPhoto | undefined>;
  put(photo: StoredPhoto): Promise<unknown>;
};

/** Keeps one photo for a document; one that is there already gains the document. */
export async function putPhoto(
  place: PhotoPlace,
  document: string,
  photo: PhotoBytes,
): Promise<void> {
  const known = await place.get(photo.hash);
  const documents = new Set([...(known?.documents ?? []), document]);
  await place.put({ ...photo, documents: [...documents] });
}

/** Keeps a photo for a document; settles once it is on disk. */
export async function storePhoto(document: string, photo: PhotoBytes): Promise<void> {
  const copied = copyPhoto(photo.hash, photo.bytes);
  await onBooks(async (db) => {
    const tx = db.transaction('photos', 'readwrite', { durability: 'strict' });
    await Promise.all([putPhoto(tx.store, document, photo), tx.done]);
  });
  await copied;
}

/** A kept photo; undefined where this device has none of that hash. */
export async function readPhoto(hash: string): Promise<Blob | undefined> {
  const photo = await onBooks((db) => db.get('photos', hash));
  return photo && new Blob([photo.bytes], { type: photo.type });
}

/** The photos of those hashes that this device has. */
export async function readPhotos(hashes: readonly string[]): Promise<readonly PhotoBytes[]> {
  const found = await onBooks((db) => Promise.all(hashes.map((hash) => db.get('photos', hash))));
  return found.filter((photo) => photo !== undefined);
}

/** Hashes of the photos of a document that this device has. */
export const photosOf = (document: string): Promise<readonly string[]> =>
  onBooks((db) => db.getAllKeysFromIndex('photos', 'documents', document));
