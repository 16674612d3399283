import { type Assembled, assemble, makeRoom } from './assembly';
import { FAMILY_KERNEL_BASE64 } from './family-kernel-bytes';
import type { JointBooks } from './joint-books';
import { CHUNK, type PickSink, type RowSink, sumRows } from './joint-walk';

/** How many layouts reach each limit, alone and by the running maximum of all columns up to it. */
export type Reached = { readonly single: Float64Array; readonly step: Float64Array };

/**
 * Counts layouts given as rows: `limits` in ascending order, column i of a row for limit i. Running
 * maximum from the least extreme to the most (Westfall & Young 1993, algorithm 4.1).
 */
export function rowCounter(limits: Float64Array, width: number, reached: Reached): RowSink {
  const { single, step } = reached;
  return (rows, count) => {
    for (let at = 0; at < count * width; at += width) {
      let top = 0;
      for (let i = 0; i < limits.length; i++) {
        const value = Math.abs(rows[at + i]);
        const limit = limits[i];
        top = value > top ? value : top;
        single[i] += value >= limit ? 1 : 0;
        step[i] += top >= limit ? 1 : 0;
      }
    }
  };
}

/** The same for layouts given as picks of book rows, in TypeScript. */
export function plainPickCounter(
  books: JointBooks,
  limits: Float64Array,
  reached: Reached,
): PickSink {
  const rows = new Float64Array(CHUNK * books.width);
  const count = rowCounter(limits, books.width, reached);
  return (picks, layouts) => {
    sumRows(books, picks, layouts, rows);
    count(rows, layouts);
  };
}

// Where things lie in the kernel's memory (family-kernel.wat).
const SINGLE = 1024;
const STEP = 2048;
const PICKS = 4096;
const TABLES = 135_168;
const MOST_COLUMNS = 128;
const MOST_BOOKS = 64;

const kernelCounter = (
  { memory, run }: Assembled,
  books: JointBooks,
  limits: Float64Array,
  reached: Reached,
): PickSink => {
  const { width, tables, rows } = books;
  makeRoom(memory, TABLES + tables.byteLength);
  new Float64Array(memory.buffer, TABLES, tables.length).set(tables);
  const wanted = new Float64Array(memory.buffer, 0, width).fill(Infinity);
  wanted.set(limits);
  // Counts are 64-bit numbers of which the low half is enough, emptied after every call.
  const single = new Int32Array(memory.buffer, SINGLE, 2 * width);
  const step = new Int32Array(memory.buffer, STEP, 4 * width);
  const places = new Int32Array(memory.buffer, PICKS, CHUNK * rows.length);
  const odd = plainPickCounter(books, limits, reached);
  return (picks, layouts) => {
    const pairs = layouts >> 1;
    if (pairs > 0) {
      places.set(picks.subarray(0, 2 * pairs * rows.length));
      run.t(pairs, 4 * rows.length, 8 * width);
      for (let i = 0; i < limits.length; i++) {
        reached.single[i] += single[2 * i];
        reached.step[i] += step[4 * i] + step[4 * i + 2];
      }
      single.fill(0);
      step.fill(0);
    }
    if (layouts % 2 === 1) odd(picks.subarray(2 * pairs * rows.length), 1);
  };
};

let make: (() => Assembled) | undefined;
let asked = false;

/**
 * Counts layouts given as picks of book rows: by the vector kernel (family-kernel.wat) where this
 * machine takes it, else in TypeScript, with the same additions and the same counts.
 */
export function pickCounter(books: JointBooks, limits: Float64Array, reached: Reached): PickSink {
  if (!asked) {
    asked = true;
    make = assemble(FAMILY_KERNEL_BASE64);
  }
  const fits = books.width <= MOST_COLUMNS && books.rows.length <= MOST_BOOKS;
  return make !== undefined && fits
    ? kernelCounter(make(), books, limits, reached)
    : plainPickCounter(books, limits, reached);
}
