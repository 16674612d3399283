import type { Entry } from '@fairbed/notebook';

/** How far what was written is on disk. `waiting` counts the entries that are not yet. */
export type Saving =
  | { readonly state: 'saved' }
  | { readonly state: 'saving'; readonly waiting: number }
  | {
      readonly state: 'failed';
      readonly waiting: number;
      readonly what: string;
      readonly do: string;
    };

export type Saver = {
  /** Settles once the entries are on disk, however many tries that takes. */
  readonly save: (entries: readonly Entry[]) => Promise<void>;
  readonly saving: () => Saving;
  /** Entries that are in memory only. */
  readonly unsaved: () => readonly Entry[];
  /** Tries again at once. */
  readonly retry: () => void;
};

type Waiting = { readonly entries: readonly Entry[]; readonly settle: () => void };

type SaverNeeds = {
  readonly append: (entries: readonly Entry[]) => Promise<void>;
  /** Called whenever `saving` has changed. */
  readonly tell: () => void;
  /** Called with what has just come to disk. */
  readonly onSaved: (entries: readonly Entry[]) => void;
  readonly later?: (work: () => void, ms: number) => void;
};

const firstWait = 500;
const longestWait = 30_000;

const isFull = (fault: unknown): boolean =>
  fault instanceof Error && fault.name === 'QuotaExceededError';

const wordsOf = (fault: unknown): { what: string; do: string } =>
  isFull(fault)
    ? {
        what: 'This device has no room left. The latest entries are not kept yet.',
        do: 'Leave this page open and save a copy as a file, or free some space. Fairbed tries again by itself.',
      }
    : {
        what: 'The browser has not kept the latest entries yet.',
        do: 'Leave this page open: Fairbed tries again by itself. Save a copy as a file to be safe.',
      };

/** What waits to be saved, oldest first. */
function createQueue() {
  let waiting: readonly Waiting[] = [];
  const entries = (): readonly Entry[] => waiting.flatMap((one) => one.entries);
  return {
    entries,
    count: (): number => entries().length,
    add: (one: Waiting): void => {
      waiting = [...waiting, one];
    },
    all: (): readonly Waiting[] => waiting,
    drop: (done: readonly Waiting[]): void => {
      waiting = waiting.filter((one) => !done.includes(one));
    },
  };
}

/** Waits longer after each failure in a row; one try is waited for at a time. */
function createPatience(later: (work: () => void, ms: number) => void) {
  let fails = 0;
  let waited = false;
  return {
    calm: (): void => {
      fails = 0;
    },
    again: (work: () => void): void => {
      const wait = Math.min(longestWait, firstWait * 2 ** fails);
      fails += 1;
      if (waited) return;
      waited = true;
      later(() => {
        waited = false;
        work();
      }, wait);
    },
  };
}

/**
 * Brings entries to disk in the order they were written, those that came meanwhile together. What
 * the browser would not keep stays in memory, is said in words and tried again until it is kept.
 */
export function createSaver({ append, tell, onSaved, later = setTimeout }: SaverNeeds): Saver {
  const queue = createQueue();
  const patience = createPatience(later);
  let busy = false;
  let state: Saving = { state: 'saved' };
  const set = (next: Saving): void => {
    if (JSON.stringify(next) === JSON.stringify(state)) return;
    state = next;
    tell();
  };
  const setWaiting = (): void => {
    const waiting = queue.count();
    if (waiting === 0) set({ state: 'saved' });
    else set(state.state === 'failed' ? { ...state, waiting } : { state: 'saving', waiting });
  };
  const saveBatch = async (): Promise<void> => {
    const batch = queue.all();
    const entries = queue.entries();
    await append(entries);
    queue.drop(batch);
    patience.calm();
    state = { state: 'saving', waiting: entries.length };
    setWaiting();
    for (const { settle } of batch) settle();
    onSaved(entries);
  };
  const run = async (): Promise<void> => {
    if (busy) return;
    busy = true;
    try {
      while (queue.count() > 0) await saveBatch();
    } catch (fault) {
      set({ state: 'failed', waiting: queue.count(), ...wordsOf(fault) });
      patience.again(() => void run());
    }
    busy = false;
  };
  return {
    save: (entries) =>
      entries.length === 0
        ? Promise.resolve()
        : new Promise((settle) => {
            queue.add({ entries, settle });
            // Begun before it is told: what hears of it draws the page anew, which takes longer.
            void run();
            setWaiting();
          }),
    saving: () => state,
    unsaved: queue.entries,
    retry: () => void run(),
  };
}
