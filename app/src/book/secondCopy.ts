import { bookName, type CopyJob, photoFile, shelfName } from './copyNames';

/**
 * The second copy of what a person has written, in the browser's private file system. A browser
 * that is killed at the wrong moment can find its own database damaged when it starts again, and
 * throws it away whole, for all databases of a page at once (seen with Chromium 156 in 2 of 71 kills
 * under load: half a record left at the end of its log). Plain lines in a file can only
 * lose their last one. Where the browser has no such files, there is one copy, as before.
 */

/** The first copy waits no longer than this for the second, in milliseconds. */
const patience = 2000;

type Keeper = { readonly worker: Worker; readonly waiting: Map<number, () => void> };

let keeper: Keeper | undefined;
let broken = false;
let jobs = 0;

const able = (): boolean =>
  !broken &&
  typeof Worker !== 'undefined' &&
  typeof FileSystemFileHandle !== 'undefined' &&
  'storage' in navigator &&
  'getDirectory' in navigator.storage;

function giveUp(): void {
  broken = true;
  for (const settle of keeper?.waiting.values() ?? []) settle();
  keeper = undefined;
}

function hire(): Keeper {
  const worker = new Worker(new URL('./secondCopy.worker.ts', import.meta.url), {
    type: 'module',
  });
  const waiting = new Map<number, () => void>();
  worker.addEventListener('message', ({ data }: MessageEvent<{ n: number }>) => {
    waiting.get(data.n)?.();
    waiting.delete(data.n);
  });
  worker.addEventListener('error', giveUp);
  return { worker, waiting };
}

/** Has the keeper ready before the first entry is written. */
export function readySecondCopy(): void {
  if (!able()) return;
  try {
    keeper ??= hire();
  } catch {
    giveUp();
  }
}

/** Settles once the job is done, or can't be: nothing is refused for want of a second copy. */
function ask(job: CopyJob): Promise<void> {
  readySecondCopy();
  if (keeper === undefined) return Promise.resolve();
  const { worker, waiting } = keeper;
  const n = ++jobs;
  return new Promise((settle) => {
    waiting.set(n, settle);
    setTimeout(settle, patience);
    worker.postMessage({ ...job, n });
  });
}

const linesOf = (texts: readonly string[]): string => texts.map((text) => `${text}\n`).join('');

/** Entries of a book, each as its JSON text. */
export const copyEntries = (document: string, texts: readonly string[]): Promise<void> =>
  texts.length === 0
    ? Promise.resolve()
    : ask({ kind: 'lines', name: bookName(document), text: linesOf(texts) });

/** A photo's bytes under their hash. */
export const copyPhoto = (hash: string, bytes: ArrayBuffer): Promise<void> =>
  ask({ kind: 'whole', file: photoFile(hash), bytes });

/** Gives up the copy of a photo that no book has any more. */
export const erasePhotoCopy = (hash: string): Promise<void> =>
  ask({ kind: 'drop', file: photoFile(hash) });

/** What the shelf keeps of a trial; of several the last counts. */
export const copyShelf = (id: string, kept: object): Promise<void> =>
  ask({
    kind: 'lines',
    name: shelfName(id),
    text: linesOf([JSON.stringify({ ...kept, at: Date.now() })]),
  });

export const eraseBookCopy = (document: string): Promise<void> =>
  ask({ kind: 'erase', name: bookName(document) });

export const eraseShelfCopy = (id: string): Promise<void> =>
  ask({ kind: 'erase', name: shelfName(id) });
