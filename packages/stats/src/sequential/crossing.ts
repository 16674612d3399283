import { upperTail } from '../distributions/normal';
import { gaussLegendre } from './gauss-legendre';

/**
 * Where a standard Brownian motion S(t) = sqrt(t) Z(t) may be that has stayed within symmetric
 * bounds so far: the right half of its density, as masses at nodes (the left half mirrors it).
 */
export type Front = {
  readonly time: number;
  readonly nodes: Float64Array;
  readonly masses: Float64Array;
  /** No node lies further out. */
  readonly reach: number;
};

/** Before the first look: all at 0, half of it to each side. */
export const start: Front = {
  time: 0,
  nodes: Float64Array.of(0),
  masses: Float64Array.of(0.5),
  reach: 0,
};

/** Beyond this many standard deviations lies less than 1e-31 of a normal. */
const FAR = 11.7;
const INV_SQRT_2PI = 0.3989422804014327;

/** Chance of staying within all earlier bounds and then being at or beyond +-z at `time`. */
export function crossing(front: Front, time: number, z: number): number {
  const sd = Math.sqrt(time - front.time);
  const bound = z * Math.sqrt(time);
  if (bound === Infinity) return 0;
  let sum = 0;
  for (let i = 0; i < front.nodes.length; i++) {
    const x = front.nodes[i];
    sum += front.masses[i] * (upperTail((bound - x) / sd) + upperTail((bound + x) / sd));
  }
  return 2 * sum;
}

/** Derivative of {@link crossing} by z. */
export function crossingSlope(front: Front, time: number, z: number): number {
  const sd = Math.sqrt(time - front.time);
  const bound = z * Math.sqrt(time);
  let sum = 0;
  for (let i = 0; i < front.nodes.length; i++) {
    sum += front.masses[i] * kernel(bound, front.nodes[i], sd);
  }
  return -2 * sum * Math.sqrt(time);
}

/** The same as {@link crossing} with drift (mean of S at t = 1): beyond +z, and beyond -z. */
export function crossingWithDrift(
  front: Front,
  { time, z, drift }: { readonly time: number; readonly z: number; readonly drift: number },
): { readonly up: number; readonly down: number } {
  const sd = Math.sqrt(time - front.time);
  const bound = z * Math.sqrt(time);
  if (bound === Infinity) return { up: 0, down: 0 };
  const moved = drift * (time - front.time);
  let up = 0;
  let down = 0;
  for (let i = 0; i < front.nodes.length; i++) {
    const x = front.nodes[i];
    // The likelihood ratio of the drift turns the density without it into the one with it.
    const right = Math.exp(drift * x) * front.masses[i];
    const left = Math.exp(-drift * x) * front.masses[i];
    up += right * upperTail((bound - x - moved) / sd) + left * upperTail((bound + x - moved) / sd);
    down +=
      right * upperTail((bound + x + moved) / sd) + left * upperTail((bound - x + moved) / sd);
  }
  const ratio = Math.exp((-drift * drift * front.time) / 2);
  return { up: up * ratio, down: down * ratio };
}

/** Normal density of a step from x, or from its mirror image, to y. */
function kernel(y: number, x: number, sd: number): number {
  const near = (y - x) / sd;
  const mirrored = (y + x) / sd;
  return (
    (INV_SQRT_2PI / sd) * (Math.exp(-0.5 * near * near) + Math.exp(-0.5 * mirrored * mirrored))
  );
}

/**
 * Nodes enough for 1e-12 or so: the integrand is a product of normal densities, none narrower than
 * `width`, over a stretch of `reach` (found by doubling the number; see the test).
 */
const nodesFor = (reach: number, width: number): number => Math.ceil(12 + 3.2 * (reach / width));

/**
 * The density at `time` of what has stayed within +-z there and within all earlier bounds
 * (Armitage, McPherson & Rowe 1969, J. R. Statist. Soc. A 132:235; Jennison & Turnbull 2000, Group
 * Sequential Methods, section 19.2), by Gauss-Legendre on the right half: the density is even.
 */
export function advance(front: Front, time: number, z: number, nextTime: number): Front {
  const sd = Math.sqrt(time - front.time);
  const reach = Math.min(z, FAR) * Math.sqrt(time);
  const next = Math.sqrt(nextTime - time);
  const width = 1 / Math.sqrt(1 / (sd * sd) + 1 / (next * next));
  const { nodes: unit, weights } = gaussLegendre(nodesFor(reach, width));
  const nodes = new Float64Array(unit.length);
  const masses = new Float64Array(unit.length);
  for (let j = 0; j < unit.length; j++) {
    const y = (reach / 2) * (unit[j] + 1);
    let density = 0;
    for (let i = 0; i < front.nodes.length; i++) {
      density += front.masses[i] * kernel(y, front.nodes[i], sd);
    }
    nodes[j] = y;
    masses[j] = density * weights[j] * (reach / 2);
  }
  return { time, nodes, masses, reach };
}
