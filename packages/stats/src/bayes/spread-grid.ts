import type { Hierarchy } from './hierarchy';
import type { InnerSolver, JointMode } from './inner';
import { priorLogDensity, priorSize, type SdPrior } from './sd-prior';

/** A point of the grid: standard deviations, the posterior there, and its share of the whole. */
export type SpreadNode = {
  readonly sd: Float64Array;
  readonly mode: JointMode;
  /** Log-posterior of the grid's own coordinates. */
  readonly log: number;
  /** Log of prior times Jacobian, the part that does not depend on the data. */
  readonly logPrior: number;
  readonly share: number;
  /** Whole steps from the middle, by spread. */
  readonly place: readonly number[];
};

export type SpreadGrid = {
  readonly nodes: readonly SpreadNode[];
  readonly steps: readonly number[];
  /** A standard deviation so many steps (or parts of one) from the middle. */
  readonly spreadOf: (spread: number, place: number) => number;
};

/** Points whose density is below e to the minus this of the highest are left out. */
const REACH = 8;
const LONGEST_STEP = 0.6;
const SHORTEST_STEP = 0.02;
/** Steps are this much of the standard deviation that the curvature at the top tells. */
const STEP_SHARE = 0.8;
const PROBE = 0.15;
const MOST_CLIMBS = 25;

/**
 * The coordinate x in which a spread is integrated: size exp(x - exp(-x)). Equal steps then need
 * few points to come down to zero, where the prior ends without falling off (the double
 * exponential rule, Takahasi & Mori 1974, Publ. RIMS 9:721-741).
 */
const spreadAt = (size: number, x: number): number => size * Math.exp(x - Math.exp(-x));

type Probe = { readonly mode: JointMode; readonly log: number; readonly logPrior: number };

const prober = (h: Hierarchy, solver: InnerSolver) => {
  const sizes = h.spreads.map(priorSize);
  const densities = h.spreads.map((prior: SdPrior) => priorLogDensity(prior));
  const sdAt = (x: readonly number[]) => Float64Array.from(x, (v, k) => spreadAt(sizes[k], v));
  const probe = (x: readonly number[], start?: JointMode): Probe | undefined => {
    const sd = sdAt(x);
    const mode = solver.joint(sd, start);
    if (!mode) return undefined;
    let logPrior = 0;
    x.forEach((v, k) => {
      logPrior += densities[k](sd[k]) + Math.log(sd[k]) + Math.log1p(Math.exp(-v));
    });
    const log = mode.logIntegral + logPrior;
    return Number.isFinite(log) ? { mode, log, logPrior } : undefined;
  };
  return { sdAt, probe };
};

type Probing = ReturnType<typeof prober>;

/** Climbs by coordinates to the highest density; steps of the grid from the curvature there. */
const climb = ({ probe }: Probing, dimension: number) => {
  let x: number[] = new Array<number>(dimension).fill(0.5);
  let here = probe(x);
  const steps = x.map(() => LONGEST_STEP);
  for (let round = 0; here && round < MOST_CLIMBS; round++) {
    let moved = 0;
    const now = here;
    const next = x.map((v, k) => {
      const beside = (d: number) =>
        probe(
          x.map((w, j) => (j === k ? w + d : w)),
          now.mode,
        )?.log ?? -Infinity;
      const up = beside(PROBE);
      const down = beside(-PROBE);
      const slope = (up - down) / (2 * PROBE);
      const curve = (2 * now.log - up - down) / PROBE ** 2;
      if (curve > 0) steps[k] = STEP_SHARE / Math.sqrt(curve);
      const step = curve > 0 ? slope / curve : Math.sign(slope);
      const bounded = Math.max(-0.8, Math.min(0.8, Number.isFinite(step) ? step : 0));
      moved = Math.max(moved, Math.abs(bounded));
      return v + bounded;
    });
    const there: Probe | undefined = probe(next, now.mode);
    if (there && there.log >= now.log - 0.05) {
      x = next;
      here = there;
    } else break;
    if (moved < 0.08) break;
  }
  return {
    x,
    here,
    steps: steps.map((step) => Math.max(SHORTEST_STEP, Math.min(LONGEST_STEP, step))),
  };
};

/**
 * An even grid over the standard deviations, grown from the highest point of their posterior to
 * wherever it is not negligible. Undefined when the posterior can't be found anywhere.
 */
export const spreadGrid = (h: Hierarchy, solver: InnerSolver): SpreadGrid | undefined => {
  const probing = prober(h, solver);
  const { x, here, steps } = climb(probing, h.spreads.length);
  if (!here) return undefined;
  type Found = Probe & { readonly place: readonly number[]; readonly sd: Float64Array };
  const positionOf = (place: readonly number[]) => place.map((n, k) => x[k] + n * steps[k]);
  const middle = x.map(() => 0);
  const first: Found = { ...here, place: middle, sd: probing.sdAt(x) };
  const found: Found[] = [first];
  const seen = new Set([middle.join()]);
  let top = here.log;
  for (const from of found) {
    if (from.log < top - REACH) continue;
    for (let k = 0; k < x.length; k++) {
      for (const way of [-1, 1]) {
        const place = from.place.map((n, j) => (j === k ? n + way : n));
        if (seen.has(place.join())) continue;
        seen.add(place.join());
        const at = positionOf(place);
        const probe = probing.probe(at, from.mode);
        if (!probe) continue;
        top = Math.max(top, probe.log);
        found.push({ ...probe, place, sd: probing.sdAt(at) });
      }
    }
  }
  const kept = found.filter(({ log }) => log >= top - REACH);
  const total = kept.reduce((sum, { log }) => sum + Math.exp(log - top), 0);
  const nodes = kept
    .map((node) => ({ ...node, share: Math.exp(node.log - top) / total }))
    .sort((a, b) => compare(a.place, b.place));
  const sizes = h.spreads.map(priorSize);
  return {
    nodes,
    steps,
    spreadOf: (k, place) => spreadAt(sizes[k], x[k] + place * steps[k]),
  };
};

/** Back and forth like a plough, so that neighbours in the order are neighbours in the grid. */
const compare = (a: readonly number[], b: readonly number[]): number => {
  let turned = 1;
  for (let k = 0; k < a.length; k++) {
    if (a[k] !== b[k]) return turned * (a[k] - b[k]);
    if (Math.abs(a[k]) % 2 === 1) turned = -turned;
  }
  return 0;
};
