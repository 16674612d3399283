// What book.spec.ts runs in the browser: bundled and put on a bare page, so that the store is tried
// in Chromium's own IndexedDB without a screen round it.
import { createBook } from '@fairbed/notebook';
import { shelfCases } from '@fairbed/notebook/shelf.cases';
import { recordKinds, trialFrom } from '@fairbed/trial';
import { databaseName, forgetConnection } from '../src/book/database';
import { entriesStore, rollTail } from '../src/book/entriesStore';
import { openBook, startBook } from '../src/book/openBook';
import { storePhoto } from '../src/book/photoStore';
import { reencode } from '../src/book/reencode';
import { sha256 } from '../src/book/sha256';

const discard = (): Promise<void> =>
  forgetConnection().then(
    () =>
      new Promise((resolve, reject) => {
        const request = indexedDB.deleteDatabase(databaseName);
        request.onsuccess = () => resolve();
        request.onerror = () => reject(new Error('The database could not be deleted.'));
      }),
  );

const cases = shelfCases(async () => {
  await discard();
  return {
    open: async () => {
      await forgetConnection();
      return entriesStore;
    },
    discard,
  };
});

/** Every demand that the store does not meet, in words. */
async function failedCases(): Promise<readonly string[]> {
  const failed: string[] = [];
  for (const { name, run } of cases) {
    await run().catch((fault: unknown) => failed.push(`${name}: ${String(fault)}`));
  }
  return failed;
}

export const parts = {
  cases: cases.length,
  failedCases,
  discard,
  forgetConnection,
  entriesStore,
  rollTail,
  openBook,
  startBook,
  storePhoto,
  reencode,
  sha256,
  createBook,
  recordKinds,
  trialFrom,
};

export type Parts = typeof parts;
