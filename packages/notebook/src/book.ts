import type { Problem } from '@fairbed/field';
import { byClock, type Entry, entryFault, isProblem, readEntry, sameEntry } from './entry';
import type { Json } from './json';
import { type Kind, type Place, placeOf, spelling } from './kind';
import { extendStrand, headsOf, isClashed, orderedOf, startStrand, type Strand } from './strand';

export type Refusal = { readonly entry: unknown; readonly problem: Problem };

/** What came of adding entries. Those that were there already are in none of the lists. */
export type Added = {
  readonly fresh: readonly Entry[];
  readonly refused: readonly Refusal[];
  /** Things with a fresh entry, each once, whether or not what stands changed. */
  readonly changed: readonly (readonly [kind: string, thing: string])[];
};

/** A thing with two or more heads of different value: entries of which none knew of the others. */
export type Clash = {
  readonly kind: string;
  readonly thing: string;
  readonly heads: readonly Entry[];
};

/** Entries folded. Every list is a snapshot: frozen, and the same one until something is added. */
export type Book = {
  /**
   * Set union by id: in any order, in any parts and any number of times, the same entries give the
   * same book. An id that is here with other content is refused and reported, never overwritten.
   */
  readonly add: (entries: readonly unknown[]) => Added;
  /** An entry as it would be added, or why it would be refused. */
  readonly check: (entry: unknown) => Entry | Problem;
  /** Value of the latest entry; undefined where there is none, or where it was taken back. */
  readonly current: (kind: string, thing: string) => Json | undefined;
  /** The latest entry of a thing. */
  readonly standing: (kind: string, thing: string) => Entry | undefined;
  /** Standing entries that have a value, in order of each thing's first clock. */
  readonly things: (kind: string) => readonly (readonly [thing: string, entry: Entry])[];
  /** As `things`, with those that were taken back: their latest entry has a value of null. */
  readonly everWritten: (kind: string) => readonly (readonly [thing: string, entry: Entry])[];
  /** All entries of a thing in order of the clock. */
  readonly history: (kind: string, thing: string) => readonly Entry[];
  /** The entries of a thing that nobody replaces, in order of the clock: one, or a clash. */
  readonly heads: (kind: string, thing: string) => readonly Entry[];
  /** Clashes of registered and unknown kinds alike, in order of each thing's first clock. */
  readonly clashes: () => readonly Clash[];
  /** All entries in order of the clock. */
  readonly entries: () => readonly Entry[];
  readonly size: () => number;
  readonly has: (id: string) => boolean;
  /** The latest clock seen; undefined in an empty book. */
  readonly latest: () => string | undefined;
  /** A registered kind as an entry written now spells it; undefined where it is not registered. */
  readonly spelling: (kind: string) => string | undefined;
};

type Things = readonly (readonly [thing: string, entry: Entry])[];

/** The things of one kind. */
type Chapter = {
  readonly strands: Map<string, Strand>;
  /** In order of their first clock; undefined where that has to be found again. */
  ordered: Strand[] | undefined;
  things: Things | undefined;
  ever: Things | undefined;
};

type State = {
  readonly kinds: ReadonlyMap<string, Kind>;
  readonly places: Map<string, Place>;
  readonly byId: Map<string, Entry>;
  readonly chapters: Map<string, Chapter>;
  /** Things whose heads have changed since clashes were last asked for. */
  readonly unsettled: Set<Strand>;
  readonly clashed: Set<Strand>;
  clashes: readonly Clash[] | undefined;
  ordered: readonly Entry[] | undefined;
  latest: Entry | undefined;
  /** How often entries were added. */
  call: number;
};

const NONE: readonly never[] = Object.freeze([]);

function placeIn(state: State, spelt: string): Place {
  const known = state.places.get(spelt);
  if (known !== undefined) return known;
  const place = placeOf(spelt, state.kinds);
  state.places.set(spelt, place);
  return place;
}

/** What the entry's kind says against its value; a kind that throws refuses too, in words. */
function valueFault({ kind }: Place, { thing, value }: Entry): string | undefined {
  if (kind === undefined || value === null) return undefined;
  try {
    return kind.read(thing, value);
  } catch (error) {
    return `it could not be read (${error instanceof Error ? error.message : 'no reason given'})`;
  }
}

/** Why a well-formed entry that is not here is refused; undefined where it is not. */
function refusalOf(state: State, entry: Entry): Problem | undefined {
  const fault = valueFault(placeIn(state, entry.kind), entry);
  if (fault === undefined) return undefined;
  return entryFault('entry-value', entry.id, `(${entry.kind}) is not accepted: ${fault}`);
}

const differs = (entry: Entry): Problem =>
  entryFault('entry-differs', entry.id, 'is here already and says something else');

/** The entry where it is fresh, the problem where it is refused; undefined: it is here already. */
function sift(state: State, raw: unknown): Entry | Problem | undefined {
  const entry = readEntry(raw);
  if (isProblem(entry)) return entry;
  const here = state.byId.get(entry.id);
  if (here === undefined) return refusalOf(state, entry) ?? entry;
  return sameEntry(here, entry) ? undefined : differs(entry);
}

const byFirst = (a: Strand, b: Strand): number => byClock(a.first, b.first);

function startIn(chapter: Chapter, name: string, entry: Entry): Strand {
  const strand = startStrand(name, entry);
  chapter.strands.set(entry.thing, strand);
  const last = chapter.ordered?.at(-1);
  if (last === undefined || byFirst(last, strand) < 0) chapter.ordered?.push(strand);
  else chapter.ordered = undefined;
  return strand;
}

/** Puts a checked, fresh entry in its place. */
function put(state: State, entry: Entry): Strand {
  state.byId.set(entry.id, entry);
  if (state.latest === undefined || byClock(entry, state.latest) > 0) state.latest = entry;
  const { name } = placeIn(state, entry.kind);
  let chapter = state.chapters.get(name);
  if (chapter === undefined) {
    chapter = { strands: new Map(), ordered: [], things: undefined, ever: undefined };
    state.chapters.set(name, chapter);
  }
  chapter.things = undefined;
  chapter.ever = undefined;
  const strand = chapter.strands.get(entry.thing);
  if (strand === undefined) return startIn(chapter, name, entry);
  const { first } = strand;
  extendStrand(strand, entry);
  if (strand.first !== first) chapter.ordered = undefined;
  state.unsettled.add(strand);
  return strand;
}

function addTo(state: State, entries: readonly unknown[]): Added {
  const fresh: Entry[] = [];
  const refused: Refusal[] = [];
  const changed: (readonly [kind: string, thing: string])[] = [];
  state.call++;
  for (const raw of entries) {
    const sifted = sift(state, raw);
    if (sifted === undefined) continue;
    if (isProblem(sifted)) refused.push({ entry: raw, problem: sifted });
    else {
      fresh.push(sifted);
      const strand = put(state, sifted);
      if (strand.call === state.call) continue;
      strand.call = state.call;
      changed.push([strand.kind, strand.thing]);
    }
  }
  if (fresh.length > 0) state.ordered = undefined;
  return { fresh, refused, changed };
}

function everOf(chapter: Chapter): Things {
  chapter.ordered ??= [...chapter.strands.values()].sort(byFirst);
  chapter.ever ??= Object.freeze(chapter.ordered.map(({ thing, last }) => [thing, last] as const));
  return chapter.ever;
}

function thingsOf(chapter: Chapter): Things {
  chapter.things ??= Object.freeze(everOf(chapter).filter(([, { value }]) => value !== null));
  return chapter.things;
}

function clashesOf(state: State): readonly Clash[] {
  const { unsettled, clashed } = state;
  if (unsettled.size === 0 && state.clashes !== undefined) return state.clashes;
  for (const strand of unsettled) {
    if (isClashed(strand)) clashed.add(strand);
    else clashed.delete(strand);
  }
  unsettled.clear();
  state.clashes = Object.freeze(
    [...clashed]
      .sort(byFirst)
      .map((strand) => ({ kind: strand.kind, thing: strand.thing, heads: headsOf(strand) })),
  );
  return state.clashes;
}

function entriesOf(state: State): readonly Entry[] {
  state.ordered ??= Object.freeze([...state.byId.values()].sort(byClock));
  return state.ordered;
}

/**
 * An empty book that knows these kinds. An entry of another kind, or of a newer version, is kept
 * and passed on unread. Adding is in proportion to what is added; `current`, `standing`, `size`,
 * `has` and `latest` do not depend on what is there; `history` and `heads` only on the thing's own.
 */
export function createBook(kinds: readonly Kind[]): Book {
  const state: State = {
    kinds: new Map(kinds.map((kind) => [kind.name, kind])),
    places: new Map(),
    byId: new Map(),
    chapters: new Map(),
    unsettled: new Set(),
    clashed: new Set(),
    clashes: undefined,
    ordered: undefined,
    latest: undefined,
    call: 0,
  };
  const strandOf = (kind: string, thing: string): Strand | undefined =>
    state.chapters.get(kind)?.strands.get(thing);
  return {
    add: (entries) => addTo(state, entries),
    check: (entry) => sift(state, entry) ?? readEntry(entry),
    current: (kind, thing) => strandOf(kind, thing)?.last.value ?? undefined,
    standing: (kind, thing) => strandOf(kind, thing)?.last,
    things: (kind) => {
      const chapter = state.chapters.get(kind);
      return chapter === undefined ? NONE : thingsOf(chapter);
    },
    everWritten: (kind) => {
      const chapter = state.chapters.get(kind);
      return chapter === undefined ? NONE : everOf(chapter);
    },
    history: (kind, thing) => {
      const strand = strandOf(kind, thing);
      return strand === undefined ? NONE : orderedOf(strand);
    },
    heads: (kind, thing) => {
      const strand = strandOf(kind, thing);
      return strand === undefined ? NONE : headsOf(strand);
    },
    clashes: () => clashesOf(state),
    entries: () => entriesOf(state),
    size: () => state.byId.size,
    has: (id) => state.byId.has(id),
    latest: () => state.latest?.clock,
    spelling: (kind) => {
      const known = state.kinds.get(kind);
      return known && spelling(known);
    },
  };
}
