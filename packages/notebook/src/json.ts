/** What an entry may hold: plain data that any store, file or wire keeps as it is. */
export type Json =
  | null
  | boolean
  | number
  | string
  | readonly Json[]
  | { readonly [key: string]: Json };

/** Deeper nesting or more text than any plan or score needs; an entry beyond is refused whole. */
export const MOST_DEPTH = 24;
export const MOST_SIZE = 500_000;

/** What a copy may still take, and the first fault met. */
type Copying = { left: number; fault: string | undefined };

function stop(state: Copying, fault: string): null {
  state.fault ??= fault;
  return null;
}

/** A plain object has the root prototype or none; of any realm, so `Object.prototype` won't do. */
function isPlain(value: object): boolean {
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === null || Object.getPrototypeOf(prototype) === null;
}

function copyList(list: readonly unknown[], depth: number, state: Copying): Json {
  // The length first: an empty list can claim to be a thousand million long.
  if (list.length > state.left) return stop(state, 'is too large');
  const copy: Json[] = [];
  for (let i = 0; i < list.length && state.fault === undefined; i++) {
    copy.push(copyValue(list[i], depth + 1, state));
  }
  return Object.freeze(copy);
}

function copyObject(source: object, depth: number, state: Copying): Json {
  if (!isPlain(source)) return stop(state, 'holds something that is not plain data');
  const copy: Record<string, Json> = {};
  for (const [key, value] of Object.entries(source)) {
    if (key === '__proto__') return stop(state, 'has a field called __proto__');
    if (value === undefined) continue;
    state.left -= key.length + 3;
    copy[key] = copyValue(value, depth + 1, state);
    if (state.fault !== undefined) return null;
  }
  return Object.freeze(copy);
}

function copyValue(value: unknown, depth: number, state: Copying): Json {
  state.left -= typeof value === 'string' ? value.length + 2 : 4;
  if (state.left < 0) return stop(state, 'is too large');
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return value;
  if (typeof value === 'number') {
    // Minus nought does not survive JSON; nought does.
    if (Number.isFinite(value)) return value === 0 ? 0 : value;
    return stop(state, 'holds a number that is not a number');
  }
  if (typeof value !== 'object') return stop(state, 'holds something that is not plain data');
  if (depth >= MOST_DEPTH) return stop(state, 'is nested too deep');
  return Array.isArray(value) ? copyList(value, depth, state) : copyObject(value, depth, state);
}

/**
 * A frozen copy of a value as JSON would keep it (fields of no value left out, minus nought as
 * nought), or the fault that makes it none: `is too large`, `is nested too deep` ... Throws only
 * what a getter or proxy of the value throws.
 */
export function copyJson(
  value: unknown,
):
  | { readonly value: Json; readonly fault?: never }
  | { readonly fault: string; readonly value?: never } {
  const state: Copying = { left: MOST_SIZE, fault: undefined };
  const copy = copyValue(value, 0, state);
  return state.fault === undefined ? { value: copy } : { fault: state.fault };
}

const isList = (value: Json): value is readonly Json[] => Array.isArray(value);

/** Whether two values are the same data; the order of an object's fields does not count. */
export function sameJson(a: Json, b: Json): boolean {
  if (a === b) return true;
  if (a === null || b === null || typeof a !== 'object' || typeof b !== 'object') return false;
  if (isList(a) || isList(b)) {
    if (!isList(a) || !isList(b) || a.length !== b.length) return false;
    return a.every((value, i) => sameJson(value, b[i] ?? null));
  }
  const keys = Object.keys(a);
  if (keys.length !== Object.keys(b).length) return false;
  return keys.every((key) => Object.hasOwn(b, key) && sameJson(a[key] ?? null, b[key] ?? null));
}
