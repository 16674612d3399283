/**
 * Gives what was worked out under this key before, or works it out now and keeps it. A key must
 * name everything its value hangs on; the trial itself goes without saying.
 */
export type Recall = <T>(key: readonly (string | number | boolean)[], make: () => T) => T;

/** Keeps nothing: everything is worked out anew. */
export const anew: Recall = (_key, make) => make();

/** Parts kept at most; the oldest goes first. A part holds figures of plots, not of scores. */
const mostKept = 400;

/**
 * A memory for the questions asked of one trial. What is given back is the very value that was
 * made, so that a question answered from memory gives the same answer to the bit.
 */
export function createMemory(most: number = mostKept): Recall {
  const kept = new Map<string, unknown>();
  return <T>(key: readonly (string | number | boolean)[], make: () => T): T => {
    const name = JSON.stringify(key);
    if (kept.has(name)) return kept.get(name) as T;
    const made = make();
    kept.set(name, made);
    const oldest = kept.keys().next().value;
    if (kept.size > most && oldest !== undefined) kept.delete(oldest);
    return made;
  };
}
