/**
 * Check whether a layout spreads every treatment over every block factor in proportion (each block
 * holds n_i. n_.j / n of it), with as many plots per treatment as `drawn`. Blocks and treatments
 * are then orthogonal, and with nothing lost F depends on the treatment totals alone.
 */
export function balanceCheck(
  drawn: ArrayLike<number>,
  k: number,
  factors: readonly ArrayLike<number>[],
): (labels: ArrayLike<number>) => boolean {
  const n = drawn.length;
  const sizes = new Int32Array(k);
  for (let p = 0; p < n; p++) sizes[drawn[p]]++;
  // No factors: one block of everything, which still asks for the drawn sizes.
  const parts = (factors.length > 0 ? factors : [new Uint8Array(n)]).map((factor) =>
    expectedCells(factor, sizes, n),
  );
  const counts = new Int32Array(Math.max(...parts.map(({ wanted }) => wanted.length)));
  return (labels) => {
    for (const { level, wanted } of parts) {
      counts.fill(0);
      for (let p = 0; p < n; p++) counts[level[p] * k + labels[p]]++;
      for (let cell = 0; cell < wanted.length; cell++)
        if (counts[cell] !== wanted[cell]) return false;
    }
    return true;
  };
}

const expectedCells = (factor: ArrayLike<number>, sizes: Int32Array, n: number) => {
  const levels = [...new Set(Array.from(factor))];
  const level = Int32Array.from({ length: n }, (_, p) => levels.indexOf(factor[p]));
  const held = new Int32Array(levels.length);
  for (const l of level) held[l]++;
  const wanted = Float64Array.from(
    { length: levels.length * sizes.length },
    (_, cell) => (held[Math.floor(cell / sizes.length)] * sizes[cell % sizes.length]) / n,
  );
  return { level, wanted };
};
