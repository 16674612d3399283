/** Remembers an index for each key from 0 to a known bound; -1 for a key not met yet. */
export type IndexBook = {
  readonly get: (key: number) => number;
  readonly set: (key: number, index: number) => void;
};

/** A plain array where the bound allows it (several times faster), a Map where it does not. */
export function indexBook(bound: number): IndexBook {
  if (bound <= 4_000_000) {
    const dense = new Int32Array(bound).fill(-1);
    return {
      get: (key) => dense[key] as number,
      set(key, index) {
        dense[key] = index;
      },
    };
  }
  const sparse = new Map<number, number>();
  return {
    get: (key) => sparse.get(key) ?? -1,
    set: (key, index) => sparse.set(key, index),
  };
}
