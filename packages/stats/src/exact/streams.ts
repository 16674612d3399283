import type { Random } from '../random';

/**
 * Four independent 32-bit streams, state words a, b, c and counter of streams 0 to 3 in that
 * order (16 words): the layout the vector kernel reads.
 */
export type Streams = Int32Array;

const WARM_UP = 15;

/** One step of stream `lane`; a small chaotic generator (sfc32, Doty-Humphrey, PractRand 0.94). */
export function step(state: Streams, lane: number): number {
  const a = state[lane];
  const b = state[4 + lane];
  const c = state[8 + lane];
  const d = state[12 + lane];
  const out = (a + b + d) | 0;
  state[lane] = b ^ (b >>> 9);
  state[4 + lane] = (c + (c << 3)) | 0;
  state[8 + lane] = (((c << 21) | (c >>> 11)) + out) | 0;
  state[12 + lane] = (d + 1) | 0;
  return out >>> 0;
}

/** Four streams seeded from a generator that was handed in. */
export function createStreams(random: Random): Streams {
  const state = new Int32Array(16);
  for (let lane = 0; lane < 4; lane++) {
    for (let word = 0; word < 3; word++) state[4 * word + lane] = random.next() | 0;
    state[12 + lane] = 1;
    for (let i = 0; i < WARM_UP; i++) step(state, lane);
  }
  return state;
}

/** The next `count` outputs of stream `lane`: `step` with the state held in locals. */
export function fill(state: Streams, lane: number, count: number, out: Uint32Array): void {
  let a = state[lane];
  let b = state[4 + lane];
  let c = state[8 + lane];
  let d = state[12 + lane];
  for (let i = 0; i < count; i++) {
    const r = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + r) | 0;
    out[i] = r;
  }
  state[lane] = a;
  state[4 + lane] = b;
  state[8 + lane] = c;
  state[12 + lane] = d;
}
