import type { Json } from './json';

/**
 * A kind of entry that a program registers. `read` gives the fault of a value in words, or
 * undefined when it is good; it must accept the values of every version up to its own. It is never
 * asked about null, which every kind may hold.
 */
export type Kind = {
  readonly name: string;
  /** From 1. An entry of version 2 has the kind `name@2`: to a program that knows only version 1
   * it is of an unknown kind, kept and passed on, and no part of what that program folds. */
  readonly version: number;
  readonly read: (thing: string, value: Json) => string | undefined;
};

/** Where an entry of a kind belongs: the name it is folded under, and the kind that reads it. */
export type Place = { readonly name: string; readonly kind: Kind | undefined };

/** How an entry written now spells the kind. */
export const spelling = ({ name, version }: Kind): string =>
  version > 1 ? `${name}@${version}` : name;

/** The place of an entry's kind: under the plain name where its version is known, else by itself. */
export function placeOf(spelt: string, kinds: ReadonlyMap<string, Kind>): Place {
  const [name = spelt, version = '1'] = spelt.split('@');
  const kind = kinds.get(name);
  return kind !== undefined && Number(version) <= kind.version
    ? { name, kind }
    : { name: spelt, kind: undefined };
}
