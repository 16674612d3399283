import type { Random } from '@fairbed/stats';

/** An n x n square of symbols 0 to n - 1, row after row. */
export type Square = { readonly order: number; readonly cells: Uint8Array };

/** Every symbol once in each row and column. */
export function isLatin({ order, cells }: Square): boolean {
  const all = 2 ** order - 1;
  for (let i = 0; i < order; i++) {
    let row = 0;
    let column = 0;
    for (let j = 0; j < order; j++) {
      row |= 1 << (cells[i * order + j] ?? 31);
      column |= 1 << (cells[j * order + i] ?? 31);
    }
    if (row !== all || column !== all) return false;
  }
  return true;
}

/**
 * All Latin squares of an order, one after the other: 1, 2, 12, 576 and 161,280 for orders 1 to 5
 * (OEIS A002860). Cell by cell, a symbol that its row or column has already used is left out.
 */
export function allLatinSquares(order: number): SquareList {
  const known = listed.get(order) ?? listSquares(order);
  listed.set(order, known);
  return known;
}

/** Squares one after the other; not to be written to. */
type SquareList = { readonly squares: Uint8Array; readonly count: number };

// Order 5 takes a tenth of a second, and a plan asks with every change.
const listed = new Map<number, SquareList>();

function listSquares(order: number): SquareList {
  const size = order * order;
  let squares = new Uint8Array(size);
  let count = 0;
  const cells = new Uint8Array(size);
  const rows = new Int32Array(order);
  const columns = new Int32Array(order);
  const place = (at: number): void => {
    if (at === size) {
      if (squares.length < (count + 1) * size) {
        const more = new Uint8Array(2 * squares.length);
        more.set(squares);
        squares = more;
      }
      squares.set(cells, count * size);
      count++;
      return;
    }
    const r = Math.floor(at / order);
    const c = at % order;
    for (let s = 0; s < order; s++) {
      const bit = 1 << s;
      if ((((rows[r] ?? 0) | (columns[c] ?? 0)) & bit) !== 0) continue;
      cells[at] = s;
      rows[r] = (rows[r] ?? 0) | bit;
      columns[c] = (columns[c] ?? 0) | bit;
      place(at + 1);
      rows[r] = (rows[r] ?? 0) & ~bit;
      columns[c] = (columns[c] ?? 0) & ~bit;
    }
  };
  place(0);
  return { squares: squares.subarray(0, count * size), count };
}

/** Visits every order of 0 to n - 1; the array is reused. */
function forEachOrder(n: number, visit: (order: Uint8Array) => void): void {
  const order = new Uint8Array(n);
  const place = (at: number, used: number): void => {
    if (at === n) {
      visit(order);
      return;
    }
    for (let i = 0; i < n; i++) {
      if ((used & (1 << i)) !== 0) continue;
      order[at] = i;
      place(at + 1, used | (1 << i));
    }
  };
  place(0, 0);
}

/**
 * Whether a column order and an image of the first row extend to an autotopism: the first row
 * settles what becomes of each symbol, the first column then where each row goes.
 */
function extendsTo({ order: n, cells }: Square, columns: Uint8Array, image: number): boolean {
  const symbol = new Uint8Array(n);
  for (let c = 0; c < n; c++) {
    symbol[cells[c] ?? 0] = cells[image * n + (columns[c] ?? 0)] ?? 0;
  }
  for (let r = 1; r < n; r++) {
    const wanted = symbol[cells[r * n] ?? 0];
    let row = 0;
    while (row < n && cells[row * n + (columns[0] ?? 0)] !== wanted) row++;
    for (let c = 1; c < n; c++) {
      if (cells[row * n + (columns[c] ?? 0)] !== symbol[cells[r * n + c] ?? 0]) return false;
    }
  }
  return true;
}

/**
 * Number of ways to reorder rows, columns and symbols that leave a Latin square as it is
 * (autotopisms). Walks order x order! candidates: fine up to order 8.
 */
export function countAutotopisms(square: Square): number {
  let count = 0;
  forEachOrder(square.order, (columns) => {
    for (let image = 0; image < square.order; image++) {
      if (extendsTo(square, columns, image)) count++;
    }
  });
  return count;
}

/** Draws a square again: rows, columns and symbols in random order. */
export function redraw(square: Square, random: Random, out: Uint8Array): void {
  const { order: n, cells } = square;
  const orders = [0, 1, 2].map(() => {
    const order = new Uint8Array(n).map((_, i) => i);
    random.shuffle(order);
    return order;
  });
  const [rows, columns, symbols] = orders as [Uint8Array, Uint8Array, Uint8Array];
  for (let r = 0; r < n; r++) {
    for (let c = 0; c < n; c++) {
      out[r * n + c] = symbols[cells[(rows[r] ?? 0) * n + (columns[c] ?? 0)] ?? 0] ?? 0;
    }
  }
}

/**
 * Fills the empty cells (255) that only one symbol fits, again and again; undefined where cells
 * stay empty or the result is not Latin. So a square with lost plots is known in whole.
 */
export function complete({ order: n, cells }: Square): Square | undefined {
  const filled = cells.slice();
  const fits = (at: number): number[] => {
    const r = Math.floor(at / n);
    const used = new Set<number>();
    for (let k = 0; k < n; k++) {
      used.add(filled[r * n + k] ?? 255);
      used.add(filled[k * n + (at % n)] ?? 255);
    }
    return Array.from({ length: n }, (_, s) => s).filter((s) => !used.has(s));
  };
  for (let moved = true; moved; ) {
    moved = false;
    for (let at = 0; at < filled.length; at++) {
      if (filled[at] !== 255) continue;
      const [only, ...others] = fits(at);
      if (only === undefined || others.length > 0) continue;
      filled[at] = only;
      moved = true;
    }
  }
  const square = { order: n, cells: filled };
  return filled.includes(255) || !isLatin(square) ? undefined : square;
}
