import type { Problem } from '@fairbed/field';
import type { Book } from './book';
import { clockText, tick, wallMs } from './clock';
import { type Entry, isProblem, MOST_REPLACES, MOST_WHO } from './entry';
import type { Json } from './json';

/** What a book refused to have written: a program's slip, for a form checks before it writes. */
export class EntryRefused extends Error {
  override readonly name = 'EntryRefused';
  constructor(readonly problem: Problem) {
    super(`${problem.what} ${problem.do}`);
  }
}

/** One thing to write. */
export type Line = { readonly kind: string; readonly thing: string; readonly value: Json };

export type Pen = {
  /** Writes one entry into the book: later than all the book has seen, replacing what stands. */
  readonly write: (kind: string, thing: string, value: Json) => Entry;
  /** Writes these in this order, all or none. */
  readonly writeAll: (lines: readonly Line[]) => readonly Entry[];
  /**
   * Writes again what stood before an entry was written; null where nothing did. Whoever offers it
   * asks first whether the entry still stands: someone else may have written since. Throws an
   * Error for an entry that is not in the book, or of a newer version of its kind.
   */
  readonly takeBack: (entry: Entry) => Entry;
};

export type PenAt = {
  /**
   * One open page of one device: 1 to 40 of `0-9 A-Z a-z _ -`, never used by two pens at once nor
   * kept where a copied tab would copy it.
   */
  readonly writer: string;
  readonly who: () => string;
  /** The device's wall clock, ms since 1970. */
  readonly now: () => number;
  /** Already holding what was stored, so that its heads and its clock are known. */
  readonly book: Book;
};

const nameOf = (who: string): string =>
  who
    .replace(/[\p{Cc}\p{Cs}]/gu, ' ')
    .trim()
    .slice(0, MOST_WHO)
    // The cut may have gone through a sign made of two halves.
    .replace(/\p{Cs}/gu, '');

/** What the next lines of one call build upon: the book's state, and the lines before. */
type Draft = { n: number; latest: string | undefined; readonly heads: Map<string, string[]> };

function draw({ writer, who, now, book }: PenAt, draft: Draft, line: Line): Entry {
  const wall = wallMs(now());
  const instant = tick(draft.latest, wall);
  const clock = clockText(instant, writer);
  while (book.has(`${writer}.${draft.n.toString(36)}`)) draft.n++;
  const id = `${writer}.${draft.n.toString(36)}`;
  const kind = book.spelling(line.kind);
  if (kind === undefined) throw new Error(`No kind called ${line.kind} is registered.`);
  const key = `${line.kind} ${line.thing}`;
  const heads = draft.heads.get(key) ?? book.heads(line.kind, line.thing).map((head) => head.id);
  const entry = book.check({
    id,
    clock,
    ...(wall === instant.ms ? {} : { at: wall }),
    who: nameOf(who()),
    kind,
    thing: line.thing,
    value: line.value,
    replaces: heads.slice(-MOST_REPLACES),
  });
  if (isProblem(entry)) throw new EntryRefused(entry);
  draft.n++;
  draft.latest = clock;
  draft.heads.set(key, [id]);
  return entry;
}

/** The value of the latest entry that stood when this one was written, as far as it is here. */
function valueBefore(book: Book, kind: string, entry: Entry): Json {
  const history = book.history(kind, entry.thing);
  // Of another book, or of a version this program can't write: what stood before is not known.
  if (!history.some(({ id }) => id === entry.id)) {
    throw new Error(`Entry ${entry.id} is not one that can be taken back here.`);
  }
  const stood = new Set(entry.replaces);
  return history.findLast(({ id }) => stood.has(id))?.value ?? null;
}

/**
 * A pen that writes into a book for one writer. Throws {@link EntryRefused} for a value that its
 * kind or the limits of an entry refuse, and an Error for a kind that is not registered; nothing is
 * written then.
 */
export function createPen(at: PenAt): Pen {
  const { book } = at;
  let next = 1;
  const writeAll = (lines: readonly Line[]): readonly Entry[] => {
    const draft: Draft = { n: next, latest: book.latest(), heads: new Map() };
    const entries = lines.map((line) => draw(at, draft, line));
    book.add(entries);
    next = draft.n;
    return entries;
  };
  const write = (kind: string, thing: string, value: Json): Entry => {
    const [entry] = writeAll([{ kind, thing, value }]);
    if (entry === undefined) throw new Error('A line was drawn and not written.');
    return entry;
  };
  return {
    write,
    writeAll,
    takeBack: (entry) => {
      const [kind = entry.kind] = entry.kind.split('@');
      return write(kind, entry.thing, valueBefore(book, kind, entry));
    },
  };
}
