import {
  type Book,
  createBook,
  createPen,
  type Entry,
  type EntryStore,
  type Line,
  sameJson,
} from '@fairbed/notebook';
import { recordKinds } from '@fairbed/trial';
import { type About, type Changed, createListeners } from './listeners';
import { plain, type Value } from './plain';
import { createPlantIndex } from './plantIndex';
import { createSaver, type Saving } from './saver';
import { createSteps, type Steps } from './steps';
import { createViews, remembering, type Views } from './views';
import { who } from './writer';

/** One thing to write. A value of null takes back what stands. */
export type Writing = { readonly kind: string; readonly thing: string; readonly value: Value };

/** A book in memory, kept on disk as it is written and shared with the other open pages. */
export type OpenBook = Views & {
  readonly id: string;
  readonly book: Book;
  /**
   * Writes one value: it shows at once, and the promise settles when it is on disk. What stands
   * already is not written again, unless two entries clash. Rejects with `EntryRefused` where the
   * value is none of its kind (nothing is written then); never for want of room (see `saving`).
   */
  readonly write: (kind: string, thing: string, value: Value) => Promise<void>;
  /** Writes several values as one step: all or, where one is refused, none. */
  readonly writeAll: (list: readonly Writing[]) => Promise<void>;
  /** As `writeAll`, for what undo must not go back on: a reveal, a seal. */
  readonly writeForGood: (list: readonly Writing[]) => Promise<void>;
  /** Takes back this page's last step; settles with the entries written for it, none if none. */
  readonly undo: () => Promise<readonly Entry[]>;
  readonly redo: () => Promise<readonly Entry[]>;
  /** The steps that undo and redo would go. The same object until that changes. */
  readonly steps: () => Steps;
  /** Adds entries from elsewhere: union by id; settles with the new ones, once on disk. */
  readonly takeIn: (entries: readonly unknown[]) => Promise<readonly Entry[]>;
  /** All score entries of a plant (without one: of the plot scored whole), in clock order. */
  readonly plantHistory: (plot: string, plant?: string) => readonly Entry[];
  /** Calls `listener` when what it is about has changed. Returns how to stop. */
  readonly subscribe: (about: About, listener: () => void) => () => void;
  /** Whether all is on disk, and if not, why, in words. The same object until it changes. */
  readonly saving: () => Saving;
  /** Calls `listener` when `saving` changes. Returns how to stop. */
  readonly onSaving: (listener: () => void) => () => void;
  /** Entries that are in memory only so far. */
  readonly unsaved: () => readonly Entry[];
  /** Tries again at once to keep what is not kept yet. */
  readonly retry: () => void;
};

/** Where a book is kept, and who writes in it on this page. */
export type BookPlace = {
  readonly store: Pick<EntryStore, 'append'>;
  readonly writer: string;
  readonly now: () => number;
  /** Called with what has just come to disk. */
  readonly onSaved: (entries: readonly Entry[]) => void;
  /** Whether the page is being closed, or put out of sight, where it may be closed at any time. */
  readonly isLeaving?: () => boolean;
  /** Called with all that the store would not keep so far; empty once all is kept. */
  readonly onUnsaved: (entries: readonly Entry[]) => void;
};

export type LiveBook = {
  readonly open: OpenBook;
  /** Adds what another page has brought to disk. */
  readonly hear: (entries: readonly unknown[]) => void;
};

const changedBy = (written: readonly Entry[]): Changed =>
  written.map(({ kind, thing }) => [kind, thing]);

function createKeeping(id: string, place: BookPlace) {
  const listeners = createListeners();
  const saver = createSaver({
    append: (list) => place.store.append(id, list),
    tell: () => {
      const { state } = saver.saving();
      // A page on its way out may not live until the store has answered.
      const aside = state === 'failed' || (state === 'saving' && place.isLeaving?.() === true);
      if (aside || state === 'saved') place.onUnsaved(aside ? saver.unsaved() : []);
      listeners.tell([]);
    },
    onSaved: place.onSaved,
  });
  return { saver, onSaving: (listener: () => void) => listeners.add('all', listener) };
}

/** What of a list is to be written: not what stands already, unless two entries clash about it. */
function newOf(book: Book, list: readonly Writing[]): readonly Line[] {
  const stands = ({ kind, thing, value }: Line): boolean =>
    book.heads(kind, thing).length < 2 && sameJson(book.current(kind, thing) ?? null, value);
  return list
    .map(({ kind, thing, value }) => ({ kind, thing, value: plain(value) }))
    .filter((one) => !stands(one));
}

/** A book of these entries, as they were read from where they are kept. */
export function liveBook(id: string, entries: readonly unknown[], place: BookPlace): LiveBook {
  const book = createBook(recordKinds);
  const refused = book.add(entries).refused.map(({ problem }) => problem);
  const { views, forget } = createViews(id, book, refused);
  const listeners = createListeners();
  const pen = createPen({ writer: place.writer, who, now: place.now, book });
  const steps = createSteps(book, pen);
  const stepsNow = remembering(steps.now);
  const plants = createPlantIndex(book);
  const { saver, onSaving } = createKeeping(id, place);
  const tell = (changed: Changed): void => {
    if (changed.length === 0) return;
    forget();
    stepsNow.forget();
    plants.heard(changed);
    listeners.tell(changed);
  };
  // Saving begins before the page is drawn anew, so that it does not wait for that.
  const keep = async (fresh: readonly Entry[], changed: Changed): Promise<readonly Entry[]> => {
    const saved = saver.save(fresh);
    tell(changed);
    await saved;
    return fresh;
  };
  const keepStep = (written: readonly Entry[]): Promise<readonly Entry[]> =>
    keep(written, changedBy(written));
  const writeAll = async (list: readonly Writing[]): Promise<void> => {
    await keepStep(steps.write(newOf(book, list)));
  };
  const writeForGood = async (list: readonly Writing[]): Promise<void> => {
    await keepStep(pen.writeAll(newOf(book, list)));
  };
  const open: OpenBook = {
    id,
    book,
    ...views,
    write: (kind, thing, value) => writeAll([{ kind, thing, value }]),
    writeAll,
    writeForGood,
    undo: () => keepStep(steps.undo()),
    redo: () => keepStep(steps.redo()),
    steps: () => stepsNow.get(),
    takeIn: (raw) => {
      const { fresh, changed } = book.add(raw);
      return keep(fresh, changed);
    },
    plantHistory: plants.history,
    subscribe: listeners.add,
    saving: saver.saving,
    onSaving,
    unsaved: saver.unsaved,
    retry: saver.retry,
  };
  return { open, hear: (raw) => tell(book.add(raw).changed) };
}
