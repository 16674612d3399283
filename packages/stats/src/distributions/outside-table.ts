/** A probability with a bound on its error. */
export type Estimate = { readonly p: number; readonly error: number };

/** Ends of the panels; beyond the last the union bound, which overshoots by less than 1e-14 there. */
const ENDS = [0, 1.5, 3, 5, 8];

export type OutsideTable = {
  /** P(max |X_i| > w) at any w >= 0. */
  readonly at: (w: number) => number;
  /** The largest error of the values tabulated. */
  readonly error: number;
};

type Panel = { readonly places: readonly number[]; readonly values: readonly number[] };

/** Barycentric formula for Chebyshev points with both ends (Berrut & Trefethen 2004, equation 5.4). */
function interpolate({ places, values }: Panel, w: number): number {
  let top = 0;
  let bottom = 0;
  for (let j = 0; j < places.length; j++) {
    const gap = w - places[j];
    if (gap === 0) return values[j];
    const end = j === 0 || j === places.length - 1 ? 0.5 : 1;
    const weight = ((j % 2 === 0 ? 1 : -1) * end) / gap;
    top += weight * values[j];
    bottom += weight;
  }
  return top / bottom;
}

/**
 * P(max |X_i| > w) as a function of w alone, so that p-values and quantiles at any t and df need no
 * more dear integrals. Over the density of a normal it is smooth and of moderate size from 0 to the far
 * tail, so that ratio is interpolated between Chebyshev points, `points` to each panel (Berrut & Trefethen
 * 2004, SIAM Review 46:501). Panels keep the errors of a rough tail out of the body.
 */
export function outsideTable(
  outside: (w: number) => Estimate,
  points: readonly number[],
  farOut: (w: number) => number,
): OutsideTable {
  let error = 0;
  const known = new Map<number, number>([[0, 1]]);
  const ratioAt = (w: number): number => {
    let p = known.get(w);
    if (p === undefined) {
      const estimate = outside(w);
      error = Math.max(error, estimate.error);
      p = estimate.p;
      known.set(w, p);
    }
    return p * Math.exp(0.5 * w * w);
  };
  const panels: Panel[] = ENDS.slice(1).map((high, i) => {
    const [middle, half] = [(high + ENDS[i]) / 2, (high - ENDS[i]) / 2];
    const last = points[i] - 1;
    const places = Array.from({ length: last + 1 }, (_, j) => {
      if (j === 0) return ENDS[i];
      return j === last ? high : middle - half * Math.cos((Math.PI * j) / last);
    });
    return { places, values: places.map(ratioAt) };
  });
  const at = (w: number): number => {
    const panel = panels.at(ENDS.findIndex((end) => w < end) - 1);
    if (panel === undefined || w >= ENDS[ENDS.length - 1]) return farOut(w);
    return Math.min(1, Math.max(0, interpolate(panel, w) * Math.exp(-0.5 * w * w)));
  };
  return { at, error };
}
