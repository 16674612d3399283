import { byClock, type Entry } from './entry';
import { sameJson } from './json';

/**
 * All entries of one thing, and what is remembered of them so that asking again costs nothing.
 * Most things of a season are written once, so lists are made when there is more to say.
 */
export type Strand = {
  readonly kind: string;
  readonly thing: string;
  first: Entry;
  /** The entry that stands: the latest. Nothing replaces it, so it is always a head. */
  last: Entry;
  /** As they came; undefined where `first` is the only one. */
  all: Entry[] | undefined;
  /** In order of the clock; undefined until asked. */
  ordered: readonly Entry[] | undefined;
  /** Entries that nothing later replaces, in order of the clock; undefined until asked. */
  heads: readonly Entry[] | undefined;
  /** The last call of `add` that touched it, so that each call names it once. */
  call: number;
};

export const startStrand = (kind: string, entry: Entry): Strand => ({
  kind,
  thing: entry.thing,
  first: entry,
  last: entry,
  all: undefined,
  ordered: undefined,
  heads: undefined,
  call: 0,
});

/** Adds an entry that is not there yet. */
export function extendStrand(strand: Strand, entry: Entry): void {
  const stood = strand.all === undefined ? [strand.first] : strand.heads;
  strand.all ??= [strand.first];
  strand.all.push(entry);
  strand.ordered = undefined;
  strand.heads = undefined;
  if (byClock(entry, strand.last) > 0) {
    strand.last = entry;
    // The usual way: the latest of all, written in sight of all that stood.
    if (stood?.every(({ id }) => entry.replaces.includes(id)))
      strand.heads = Object.freeze([entry]);
  } else if (byClock(entry, strand.first) < 0) strand.first = entry;
}

/** All entries of the thing in order of the clock; the same array until one is added. */
export function orderedOf(strand: Strand): readonly Entry[] {
  strand.ordered ??= Object.freeze(strand.all?.toSorted(byClock) ?? [strand.first]);
  return strand.ordered;
}

/**
 * The entries that nobody replaces. Only a later entry can replace one, so there is always a head
 * and no two entries can replace each other; what it lists that is not here (not yet arrived, or
 * of another thing) does not count.
 */
export function headsOf(strand: Strand): readonly Entry[] {
  if (strand.heads !== undefined) return strand.heads;
  if (strand.all === undefined) return (strand.heads = orderedOf(strand));
  const replaced = new Set<string>();
  const heads: Entry[] = [];
  for (const entry of orderedOf(strand).toReversed()) {
    if (!replaced.has(entry.id)) heads.push(entry);
    for (const id of entry.replaces) replaced.add(id);
  }
  strand.heads = Object.freeze(heads.reverse());
  return strand.heads;
}

/** Whether two heads say different things. */
export function isClashed(strand: Strand): boolean {
  const [head, ...others] = headsOf(strand);
  return head !== undefined && others.some(({ value }) => !sameJson(value, head.value));
}
