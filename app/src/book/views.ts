import type { Problem } from '@fairbed/field';
import type { Book } from '@fairbed/notebook';
import { type RecordSource, type Trial, trialFrom } from '@fairbed/trial';

/** What a book says when looked at whole; each view is worked out once for each change. */
export type Views = {
  /** The book as the fold to a trial reads it. */
  readonly source: RecordSource;
  /** The trial that the entries tell of. */
  readonly trial: () => Trial;
  /** What could not be folded into the trial, or was refused on reading. */
  readonly problems: () => readonly Problem[];
};

/** A value worked out when it is first wanted, and remembered until it is forgotten. */
export function remembering<T>(make: () => T) {
  let known: { readonly value: T } | undefined;
  return {
    get: (): T => {
      known ??= { value: make() };
      return known.value;
    },
    forget: (): void => {
      known = undefined;
    },
  };
}

/** A book as the fold to a trial reads it. */
export const sourceOf = (book: Book): RecordSource => ({
  things: (kind) => book.things(kind),
  everWritten: (kind) => book.everWritten(kind),
  history: (kind, thing) => book.history(kind, thing),
});

/** The views of a book; `forget` whenever an entry has come. */
export function createViews(
  id: string,
  book: Book,
  refused: readonly Problem[],
): { readonly views: Views; readonly forget: () => void } {
  const source = sourceOf(book);
  const fold = remembering(() => trialFrom(id, source));
  const problems = remembering(() => [...refused, ...fold.get().problems]);
  return {
    views: { source, trial: () => fold.get().trial, problems: problems.get },
    forget: () => {
      fold.forget();
      problems.forget();
    },
  };
}
