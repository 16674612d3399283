import { useEffect, useState } from 'react';
import { changeRecord, readRecord } from './bookCards';
import { onBookChange } from './changes';
import type { Backup } from './database';
import { broughtBackFile, copiesFolder } from './copyNames';
import type { OpenBook } from './liveBook';

export type StorageHealth = {
  /** The browser has promised not to clear what is kept; undefined where it does not say. */
  readonly persisted?: boolean;
  /** Bytes in use and bytes to be had, as the browser reckons them. */
  readonly usage?: number;
  readonly quota?: number;
  /** When the last back-up of this trial was saved, ms since 1970; undefined: never. */
  readonly lastBackup?: number;
  /** Entries of this trial that no back-up holds. */
  readonly entriesSinceBackup: number;
};

/** Absent where the page is not secure, and outside browsers. */
const theStorage = (): StorageManager | undefined =>
  typeof navigator !== 'undefined' && 'storage' in navigator ? navigator.storage : undefined;

/** Entries put back on this device from their second copy, and when. */
export type BroughtBack = { readonly at: number; readonly entries: number };

/** What was put back the last time; undefined: that was never needed, or can't be known. */
export async function broughtBack(): Promise<BroughtBack | undefined> {
  try {
    const root = await theStorage()?.getDirectory();
    const folder = await root?.getDirectoryHandle(copiesFolder);
    const file = await (await folder?.getFileHandle(broughtBackFile))?.getFile();
    return file === undefined ? undefined : (JSON.parse(await file.text()) as BroughtBack);
  } catch {
    return undefined;
  }
}

/** Asks the browser not to clear what is kept when space runs short. It may say no. */
export async function askToKeep(): Promise<boolean> {
  try {
    return (await theStorage()?.persist()) ?? false;
  } catch {
    return false;
  }
}

async function estimate(): Promise<Pick<StorageHealth, 'persisted' | 'usage' | 'quota'>> {
  const storage = theStorage();
  if (storage === undefined) return {};
  try {
    const [persisted, { usage, quota }] = await Promise.all([
      storage.persisted(),
      storage.estimate(),
    ]);
    return {
      persisted,
      ...(usage === undefined ? {} : { usage }),
      ...(quota === undefined ? {} : { quota }),
    };
  } catch {
    return {};
  }
}

/** Remembers that a back-up which holds `entries` entries of this book was saved at `at`. */
export const keepBackup = (id: string, backup: Backup): Promise<void> =>
  changeRecord(id, (record) => ({ ...record, backup }));

/** How a book is kept on this device. Entries are never removed, so their number tells. */
export async function storageHealth(open: Pick<OpenBook, 'id' | 'book'>): Promise<StorageHealth> {
  const [device, record] = await Promise.all([estimate(), readRecord(open.id)]);
  const backup = record?.backup;
  return {
    ...device,
    ...(backup === undefined ? {} : { lastBackup: backup.at }),
    entriesSinceBackup: Math.max(0, open.book.size() - (backup?.entries ?? 0)),
  };
}

/** How a book is kept on this device, followed; undefined until it is known. */
export function useStorage(open: OpenBook): StorageHealth | undefined {
  const [health, setHealth] = useState<StorageHealth>();
  useEffect(() => {
    let current = true;
    const read = (): void => {
      storageHealth(open).then(
        (known) => {
          if (current) setHealth(known);
        },
        () => undefined,
      );
    };
    read();
    const stop = onBookChange(({ document }) => {
      if (document === open.id) read();
    });
    return () => {
      current = false;
      stop();
    };
  }, [open]);
  return health;
}
