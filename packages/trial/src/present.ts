/** The same fields, those that may be undefined made optional. */
type Present<T> = {
  [K in keyof T as undefined extends T[K] ? never : K]: T[K];
} & { [K in keyof T as undefined extends T[K] ? K : never]?: Exclude<T[K], undefined> };

/** Fields whose value is known, and only those. */
export const present = <T extends object>(fields: T): Present<T> =>
  Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== undefined),
  ) as Present<T>;
