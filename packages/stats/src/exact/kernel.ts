import { type Assembled, assemble, makeRoom } from './assembly';
import { countRelabelings } from './count-relabelings';
import { KERNEL_BASE64 } from './kernel-bytes';

/** Counts relabelings as countRelabelings does: the same streams give the same count. */
export type RelabelingCounter = typeof countRelabelings;

const BASE = 64;
const BOOKS = 128;
const MOST_BOOKS = 64;
const TABLES = BOOKS + 8 * MOST_BOOKS;

const build = ({ memory, run }: Assembled): RelabelingCounter => {
  const { q, s } = run;
  return (books, streams, perStream, threshold) => {
    const { width, base, tables, starts, rows } = books;
    const count = width === 4 ? q : width === 6 ? s : undefined;
    if (count === undefined || rows.length < 1 || rows.length > MOST_BOOKS || perStream < 1)
      return countRelabelings(books, streams, perStream, threshold);
    makeRoom(memory, TABLES + tables.byteLength);
    const words = new Int32Array(memory.buffer);
    words.set(streams, 0);
    new Float64Array(memory.buffer, BASE, width).set(base);
    rows.forEach((n, b) => words.set([TABLES + 8 * starts[b], n], (BOOKS + 8 * b) / 4));
    new Float64Array(memory.buffer, TABLES, tables.length).set(tables);
    const hits = count(perStream, rows.length, threshold);
    streams.set(words.subarray(0, 16));
    return hits;
  };
};

let kept: { readonly counter: RelabelingCounter | undefined } | undefined;

/**
 * The vector kernel (kernel.wat), or undefined where this machine has no WebAssembly, none with
 * vectors, or forbids compiling it; then countRelabelings does the same work. More than six
 * treatments go to countRelabelings by themselves.
 */
export function relabelingKernel(): RelabelingCounter | undefined {
  if (kept === undefined) {
    const make = assemble(KERNEL_BASE64);
    kept = { counter: make && build(make()) };
  }
  return kept.counter;
}
