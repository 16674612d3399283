import type { Json } from '@fairbed/notebook';

/** What may be written: JSON, in which a field may also be undefined, that is, left out. */
export type Value =
  | null
  | boolean
  | number
  | string
  | readonly Value[]
  | { readonly [key: string]: Value | undefined };

const isList = (value: Value): value is readonly Value[] => Array.isArray(value);

/** A value without its undefined fields. */
export function plain(value: Value): Json {
  if (value === null || typeof value !== 'object') return value;
  if (isList(value)) return value.map(plain);
  const fields = Object.entries(value).flatMap(([key, field]) =>
    field === undefined ? [] : [[key, plain(field)] as const],
  );
  return Object.fromEntries(fields);
}
