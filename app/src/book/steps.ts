import type { Book, Entry, Line, Pen } from '@fairbed/notebook';

type Step = readonly Entry[];

/** What this page did last and may take back, and what it took back and may do again. */
export type Steps = { readonly undo?: Step; readonly redo?: Step };

/** Takes entries back, and knows which of them still stand. */
function createTaking(book: Book, pen: Pen) {
  // An entry that takes another back says again what stood before: it counts as that one.
  const countsAs = new Map<string, string>();
  const root = (id: string): string => countsAs.get(id) ?? id;
  const stands = ({ id, kind, thing }: Entry): boolean => {
    const standing = book.standing(kind, thing);
    return standing !== undefined && root(standing.id) === root(id);
  };
  const take = (entry: Entry): Entry => {
    const written = pen.takeBack(entry);
    countsAs.set(written.id, root(entry.replaces.at(-1) ?? ''));
    return written;
  };
  return {
    stands,
    // One by one: taking back the last of a step can let an earlier one of it stand again.
    takeBack: (step: Step): Step =>
      step.toReversed().flatMap((entry) => (stands(entry) ? [take(entry)] : [])),
  };
}

/**
 * Undo and redo of one page. Taking back is a new entry that says again what stood before, so
 * nothing is ever removed. What somebody else has written over since is left alone.
 */
export function createSteps(book: Book, pen: Pen) {
  const { stands, takeBack } = createTaking(book, pen);
  let done: readonly Step[] = [];
  let undone: readonly Step[] = [];
  const back = (from: readonly Step[]): { rest: readonly Step[]; written: Step } => {
    const rest = [...from];
    let written: Step = [];
    while (written.length === 0 && rest.length > 0) written = takeBack(rest.pop() ?? []);
    return { rest, written };
  };
  return {
    write: (lines: readonly Line[]): Step => {
      const step = pen.writeAll(lines);
      if (step.length === 0) return step;
      done = [...done, step];
      undone = [];
      return step;
    },
    undo: (): Step => {
      const { rest, written } = back(done);
      done = rest;
      if (written.length > 0) undone = [...undone, written];
      return written;
    },
    redo: (): Step => {
      const { rest, written } = back(undone);
      undone = rest;
      if (written.length > 0) done = [...done, written];
      return written;
    },
    now: (): Steps => {
      const undo = done.findLast((step) => step.some(stands));
      const redo = undone.findLast((step) => step.some(stands));
      return { ...(undo === undefined ? {} : { undo }), ...(redo === undefined ? {} : { redo }) };
    },
  };
}
