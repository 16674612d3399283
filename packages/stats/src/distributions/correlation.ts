/** A correlation matrix by rows: symmetric, ones on the diagonal. */
export type Correlation = readonly (readonly number[])[];

const SYMMETRY = 1e-9;
/** Contrasts closer than this to the same one are the same one. */
const SAME = 1e-12;

/**
 * Throws a RangeError unless the rows form a correlation matrix: square, symmetric, ones on the
 * diagonal, nothing beyond +-1. Positive definiteness is found out by whoever factors it.
 */
export function requireCorrelation(correlation: Correlation): void {
  const m = correlation.length;
  if (m === 0) throw new RangeError('correlation must have at least one row; got none');
  correlation.forEach((row, i) => {
    if (row.length !== m) {
      throw new RangeError(`correlation row ${i + 1} must have ${m} entries; got ${row.length}`);
    }
    row.forEach((r, j) => {
      const want = i === j ? 1 : correlation[j][i];
      if (!(Math.abs(r - want) <= SYMMETRY && Math.abs(r) <= 1 + SYMMETRY)) {
        throw new RangeError(`correlation at ${i + 1}, ${j + 1} must be ${want}; got ${r}`);
      }
    });
  });
}

/** The matrix without contrasts that repeat an earlier one or its mirror image: a maximum ignores them. */
export function withoutRepeats(correlation: Correlation): Correlation {
  const kept: number[] = [];
  correlation.forEach((row, i) => {
    if (kept.every((j) => Math.abs(row[j]) < 1 - SAME)) kept.push(i);
  });
  return kept.map((i) => kept.map((j) => correlation[i][j]));
}

/** Loadings l with correlation i, j near l_i l_j, and the largest miss off the diagonal. */
type OneFactor = { readonly loadings: readonly number[]; readonly residual: number };

/**
 * The product structure nearest to a correlation matrix. A comparison with a control in a one-way
 * layout or in complete blocks has it exactly: l_i^2 = n_i / (n_i + n_0) (Dunnett 1955, JASA 50:1096).
 * Loadings start from triads, l_i^2 = r_ij r_ik / r_jk, exact when the structure is, and are then
 * polished by coordinate least squares on the entries off the diagonal.
 */
export function fitOneFactor(correlation: Correlation): OneFactor {
  const m = correlation.length;
  if (m === 1) return { loadings: [0], residual: 0 };
  if (m === 2) {
    const root = Math.sqrt(Math.abs(correlation[0][1]));
    return { loadings: [root, Math.sign(correlation[0][1]) * root], residual: 0 };
  }
  const loadings = triadLoadings(correlation);
  let residual = largestMiss(correlation, loadings);
  for (let sweep = 0; sweep < 40 && residual > SAME; sweep++) {
    polish(correlation, loadings);
    residual = largestMiss(correlation, loadings);
  }
  return { loadings, residual };
}

function triadLoadings(r: Correlation): number[] {
  const m = r.length;
  const sizes = r.map((_, i) => {
    let top = 0;
    let bottom = 0;
    for (let j = 0; j < m; j++) {
      for (let k = 0; k < j; k++) {
        if (j === i || k === i) continue;
        top += Math.abs(r[i][j] * r[i][k]);
        bottom += Math.abs(r[j][k]);
      }
    }
    return bottom === 0 ? 0 : Math.sqrt(top / bottom);
  });
  const anchor = sizes.indexOf(Math.max(...sizes));
  return sizes.map((size, i) => (r[i][anchor] < 0 ? -size : size));
}

function polish(r: Correlation, loadings: number[]): void {
  for (let i = 0; i < loadings.length; i++) {
    let top = 0;
    let bottom = 0;
    loadings.forEach((l, j) => {
      if (j === i) return;
      top += r[i][j] * l;
      bottom += l * l;
    });
    if (bottom > 0) loadings[i] = Math.max(-1, Math.min(1, top / bottom));
  }
}

function largestMiss(r: Correlation, loadings: readonly number[]): number {
  let worst = 0;
  loadings.forEach((l, i) => {
    for (let j = 0; j < i; j++) worst = Math.max(worst, Math.abs(r[i][j] - l * loadings[j]));
  });
  return worst;
}
