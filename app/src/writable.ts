/** A copy that may still be changed before it is handed on. */
export type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** A copy of `from` in which `key` is absent, not undefined. */
export function without<T extends object, K extends keyof T>(from: T, key: K): Omit<T, K> {
  const copy: Partial<Writable<T>> = { ...from };
  // eslint-disable-next-line @typescript-eslint/no-dynamic-delete -- the key is one of the type's own
  delete copy[key];
  return copy as Omit<T, K>;
}
