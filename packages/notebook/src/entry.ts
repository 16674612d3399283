import type { Problem } from '@fairbed/field';
import { clockWriter, isClock } from './clock';
import { copyJson, type Json, sameJson } from './json';

/** One line of the ledger: who wrote what about which thing, when, and what it replaces. */
export type Entry = {
  /** `${writer}.${n}`: the n-th entry of the writer in this document, base 36, from 1. */
  readonly id: string;
  /** Hybrid logical clock as text that sorts (see clock.ts). */
  readonly clock: string;
  /** The device's own wall clock, ms since 1970, only where it differs from the clock's ms. */
  readonly at?: number;
  /** The name the person gave on this device; '' where none. */
  readonly who: string;
  /** A registered kind; `name@2` for its second version and so on. */
  readonly kind: string;
  /** What it is about, unique within the kind. */
  readonly thing: string;
  /** null: taken back, no value. */
  readonly value: Json;
  /** Ids of the entries that stood for this thing when this was written. */
  readonly replaces: readonly string[];
};

export const MOST_WHO = 100;
export const MOST_THING = 600;
export const MOST_REPLACES = 1_000;

const FIELDS = new Set(['id', 'clock', 'at', 'who', 'kind', 'thing', 'value', 'replaces']);
const idForm = /^[0-9A-Za-z_-]{1,40}\.[1-9a-z][0-9a-z]{0,8}$/;
const kindForm = /^[a-z][a-z0-9-]{0,39}(@([2-9]|[1-9][0-9]{1,2}))?$/;
/** Control signs and halves of signs: they don't come back whole from a file of text. */
const unwritable = /[\p{Cc}\p{Cs}]/u;

const clip = (text: string): string => {
  const shown = text.replace(/[\p{Cc}\p{Cs}]/gu, '?');
  return shown.length > 40 ? `${shown.slice(0, 40)}...` : shown;
};

/** A fault of an entry, in words; `id` is what it calls itself, whatever that is. */
export function entryFault(code: string, id: unknown, what: string): Problem {
  const name = typeof id === 'string' && id !== '' ? `Entry ${clip(id)}` : 'An entry';
  return {
    kind: 'fault',
    code,
    what: `${name} ${what}.`,
    do: 'It was set aside; nothing else was changed. Ask for the entry again from the device that wrote it.',
  };
}

const isLine = (text: unknown, most: number): text is string =>
  typeof text === 'string' && text.length <= most && !unwritable.test(text);

const NOTHING: readonly string[] = Object.freeze([]);

/** A copy of the list of what an entry replaces; anything else as it is, to be refused. */
function copyReplaces(replaces: unknown): unknown {
  if (!Array.isArray(replaces) || replaces.length > MOST_REPLACES) return replaces;
  return replaces.length === 0 ? NOTHING : Object.freeze([...(replaces as readonly unknown[])]);
}

function replacesFault(id: string, replaces: unknown): string | undefined {
  if (!Array.isArray(replaces)) return 'does not say what it replaces as a list';
  if (replaces.length > MOST_REPLACES) return `replaces more than ${MOST_REPLACES} entries`;
  for (const other of replaces as readonly unknown[]) {
    if (typeof other !== 'string' || !idForm.test(other)) {
      return 'replaces something that is not an entry';
    }
    if (other === id) return 'says that it replaces itself';
  }
  return undefined;
}

/** What was taken of an entry, before anything about it is known. */
type Taken = { readonly [Field in keyof Entry]-?: unknown };

/** What is wrong with the fields round the value; undefined where all is well. */
function envelopeFault({ id, clock, at, who, kind, thing, replaces }: Taken): string | undefined {
  if (typeof id !== 'string' || !idForm.test(id)) return 'has no id of the right form';
  if (typeof clock !== 'string' || !isClock(clock)) return 'has no clock of the right form';
  const writer = clockWriter(clock);
  if (id.length <= writer.length || !id.startsWith(writer) || id[writer.length] !== '.') {
    return 'has the clock of another writer';
  }
  if (at !== undefined && !(Number.isInteger(at) && Math.abs(at as number) <= 8.64e15)) {
    return 'has a wall clock that is no time';
  }
  if (!isLine(who, MOST_WHO)) return `has no name of at most ${MOST_WHO} plain signs`;
  if (typeof kind !== 'string' || !kindForm.test(kind)) return 'has no kind of the right form';
  if (!isLine(thing, MOST_THING) || thing === '') {
    return `is not about a thing named in at most ${MOST_THING} plain signs`;
  }
  return replacesFault(id, replaces);
}

/** A field that no entry has; fields without a value do not count. */
function strangerIn(raw: Readonly<Record<string, unknown>>): string | undefined {
  const keys = Object.keys(raw);
  // All fields but `at` are known to be there by now, so most often the number says enough.
  if (keys.length === FIELDS.size - 1) return undefined;
  return keys.find((key) => !FIELDS.has(key) && raw[key] !== undefined);
}

function readRecord(raw: Readonly<Record<string, unknown>>): Entry | Problem {
  // Taken out once: what was checked is what is kept, even where a getter answers otherwise later.
  const { id, clock, at, who, kind, thing, value } = raw;
  const replaces = copyReplaces(raw.replaces);
  const taken = { id, clock, at, who, kind, thing, value, replaces };
  const fault = envelopeFault(taken);
  if (fault !== undefined) return entryFault('entry-shape', id, fault);
  const stranger = strangerIn(raw);
  if (stranger !== undefined) {
    return entryFault('entry-shape', id, `has a field that is not known here: ${clip(stranger)}`);
  }
  const copied = copyJson(value);
  if (copied.fault !== undefined) {
    return entryFault('entry-value', id, `has a value that ${copied.fault}`);
  }
  const rest = { who, kind, thing, value: copied.value, replaces };
  const entry = at === undefined ? { id, clock, ...rest } : { id, clock, at, ...rest };
  // Every field was looked at above, which the compiler can't follow through `taken`.
  return Object.freeze(entry) as Entry;
}

/**
 * Reads anything as an entry: a frozen copy of it, or the problem in words (it has `code`, an entry
 * has `id`). Holds to the limits above and of json.ts; knows nothing of what a kind's value means.
 * Never throws.
 */
export function readEntry(raw: unknown): Entry | Problem {
  try {
    if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) {
      return entryFault('entry-shape', undefined, 'is not a set of fields');
    }
    return readRecord(raw as Record<string, unknown>);
  } catch {
    // A getter or a proxy that throws is not plain data.
    return entryFault('entry-shape', undefined, 'could not be read at all');
  }
}

/** Whether what {@link readEntry} gave is a problem. */
export const isProblem = (read: Entry | Problem): read is Problem => 'code' in read;

/** The one order of the ledger: by clock, then (a forged clock alone needs it) by id. */
export function byClock(a: Entry, b: Entry): number {
  if (a.clock !== b.clock) return a.clock < b.clock ? -1 : 1;
  if (a.id === b.id) return 0;
  return a.id < b.id ? -1 : 1;
}

/** Whether two entries say the same in every field. */
export const sameEntry = (a: Entry, b: Entry): boolean =>
  a === b ||
  (a.id === b.id &&
    a.clock === b.clock &&
    a.at === b.at &&
    a.who === b.who &&
    a.kind === b.kind &&
    a.thing === b.thing &&
    sameJson(a.replaces, b.replaces) &&
    sameJson(a.value, b.value));
