import type { Books } from './books';
import { type Streams, fill } from './streams';

const CHUNK = 1024;

/**
 * Draws `perStream` relabelings from each of the four streams and counts those whose sum of
 * squared totals reaches `threshold`. Row of a book: floor(r * rows / 2^32), r uniform on 32 bits,
 * so no row's chance is off by more than rows / 2^32 of itself (2e-7 at 1024 rows).
 * The twin of the vector kernel: same streams, same order of additions, same count.
 */
export function countRelabelings(
  books: Books,
  streams: Streams,
  perStream: number,
  threshold: number,
): number {
  const { rows } = books;
  const drawn = new Uint32Array(CHUNK * rows.length);
  const share = rowShares(books);
  const count =
    rows.length === 2 && books.width === 4
      ? countTwoBooks
      : rows.length === 4
        ? countFourBooks
        : countBooks;
  let hits = 0;
  for (let lane = 0; lane < 4; lane++)
    for (let done = 0; done < perStream; done += CHUNK) {
      const draws = Math.min(CHUNK, perStream - done);
      fill(streams, lane, draws * rows.length, drawn);
      hits += count(books, drawn.subarray(0, draws * rows.length), share, threshold);
    }
  return hits;
}

/** Per book: its number of rows over 2^32, which turns a 32-bit draw into a row. */
export const rowShares = (books: Books): Float64Array =>
  Float64Array.from(books.rows, (rows) => rows * 2 ** -32);

/** Totals (k per relabeling) of the relabelings that `drawn` picks, one number per book and relabeling. */
export function lookUpTotals(
  books: Books,
  k: number,
  drawn: Uint32Array,
  totals: Float64Array,
): void {
  const { width, base, tables, starts } = books;
  const share = rowShares(books);
  const count = share.length;
  const at = new Int32Array(count);
  for (let next = 0, cell = 0; next < drawn.length; next += count) {
    for (let b = 0; b < count; b++) at[b] = starts[b] + ((drawn[next + b] * share[b]) | 0) * width;
    for (let l = 0; l < k; l++) {
      let s = base[l];
      for (let b = 0; b < count; b++) s += tables[at[b] + l];
      totals[cell++] = s;
    }
  }
}

function countBooks(
  books: Books,
  drawn: Uint32Array,
  share: Float64Array,
  threshold: number,
): number {
  const { width, base, tables, starts } = books;
  const count = share.length;
  const at = new Int32Array(count);
  let hits = 0;
  for (let next = 0; next < drawn.length; next += count) {
    for (let b = 0; b < count; b++) at[b] = starts[b] + ((drawn[next + b] * share[b]) | 0) * width;
    let even = 0;
    let odd = 0;
    for (let l = 0; l < width; l += 2) {
      let s = base[l];
      let t = base[l + 1];
      for (let b = 0; b < count; b++) {
        s += tables[at[b] + l];
        t += tables[at[b] + l + 1];
      }
      even += s * s;
      odd += t * t;
    }
    if (even + odd >= threshold) hits++;
  }
  return hits;
}

// countBooks written out for the commonest trials: four treatments in four blocks make two books,
// five or six treatments in five blocks four of them.

function countTwoBooks(
  books: Books,
  drawn: Uint32Array,
  share: Float64Array,
  threshold: number,
): number {
  const { tables, starts } = books;
  const { base } = books;
  const base0 = base[0];
  const base1 = base[1];
  const base2 = base[2];
  const base3 = base[3];
  const share0 = share[0];
  const share1 = share[1];
  const start1 = starts[1];
  let hits = 0;
  for (let next = 0; next < drawn.length; next += 2) {
    const p = ((drawn[next] * share0) | 0) * 4;
    const q = start1 + ((drawn[next + 1] * share1) | 0) * 4;
    const s0 = base0 + tables[p] + tables[q];
    const s1 = base1 + tables[p + 1] + tables[q + 1];
    const s2 = base2 + tables[p + 2] + tables[q + 2];
    const s3 = base3 + tables[p + 3] + tables[q + 3];
    if (s0 * s0 + s2 * s2 + (s1 * s1 + s3 * s3) >= threshold) hits++;
  }
  return hits;
}

function countFourBooks(
  books: Books,
  drawn: Uint32Array,
  share: Float64Array,
  threshold: number,
): number {
  const { width, base, tables, starts } = books;
  const [share0, share1, share2, share3] = share;
  const [, start1, start2, start3] = starts;
  let hits = 0;
  for (let next = 0; next < drawn.length; next += 4) {
    const p = ((drawn[next] * share0) | 0) * width;
    const q = start1 + ((drawn[next + 1] * share1) | 0) * width;
    const u = start2 + ((drawn[next + 2] * share2) | 0) * width;
    const v = start3 + ((drawn[next + 3] * share3) | 0) * width;
    let even = 0;
    let odd = 0;
    for (let l = 0; l < width; l += 2) {
      const m = l + 1;
      const s = base[l] + tables[p + l] + tables[q + l] + tables[u + l] + tables[v + l];
      const t = base[m] + tables[p + m] + tables[q + m] + tables[u + m] + tables[v + m];
      even += s * s;
      odd += t * t;
    }
    if (even + odd >= threshold) hits++;
  }
  return hits;
}
