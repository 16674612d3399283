/** What a listener wants to hear of: everything, all things of a kind, or one thing. */
export type About = 'all' | readonly [kind: string] | readonly [kind: string, thing: string];

export type Changed = readonly (readonly [kind: string, thing: string])[];

const keyOf = (about: About): string => (about === 'all' ? '' : about.join('\n'));

/** Whoever listens to a book, found by what has changed. */
export function createListeners() {
  const byKey = new Map<string, Set<() => void>>();
  const add = (about: About, listener: () => void): (() => void) => {
    const key = keyOf(about);
    const set = byKey.get(key) ?? new Set();
    byKey.set(key, set);
    set.add(listener);
    return () => {
      set.delete(listener);
      if (set.size === 0 && byKey.get(key) === set) byKey.delete(key);
    };
  };
  const tell = (changed: Changed): void => {
    const keys = new Set(['']);
    for (const [kind, thing] of changed) keys.add(kind).add(`${kind}\n${thing}`);
    for (const key of keys) for (const listener of [...(byKey.get(key) ?? [])]) listener();
  };
  return { add, tell };
}
