// A plain random-walk chain for the model of counts that src/bayes integrates: another road to the
// same chances, slow and written apart. Used by ranking-study.ts.
import type { Random } from '../src/random';

type Coded = { readonly codes: ArrayLike<number>; readonly levels: readonly string[] };

export type ChainInput = {
  readonly treatment: Coded;
  readonly groups: readonly Coded[];
  readonly successes: readonly number[];
  readonly trials: readonly number[];
  readonly worthHaving: number;
  readonly sweeps: number;
  readonly burn: number;
};

type Chance = { readonly chance: number; readonly error: number };
export type ChainAnswer = {
  readonly best: readonly Chance[];
  readonly beatsControl: readonly Chance[];
  readonly beatsWorthwhile: readonly Chance[];
  readonly difference: readonly { readonly mean: number; readonly sd: number }[];
  readonly spread: readonly { readonly mean: number; readonly sd: number }[];
  readonly probability: readonly {
    readonly mean: number;
    readonly sd: number;
    readonly q025: number;
    readonly q975: number;
  }[];
};

const BATCHES = 50;
/** Of the probabilities, for their percentage points. */
const BINS = 4000;
const softplus = (x: number): number => Math.max(x, 0) + Math.log1p(Math.exp(-Math.abs(x)));

/** A quantity whose step size settles while the chain warms up (44 % of steps taken). */
const walker = (random: Random) => {
  let logStep = -1;
  return (adapt: number, gain: (step: number) => number, take: (step: number) => void) => {
    const step = Math.exp(logStep) * random.normal();
    const log = gain(step);
    const taken = Math.log(random.uniform()) < log;
    if (taken) take(step);
    logStep += adapt * ((taken ? 1 : 0) - 0.44);
  };
};

const mean = (x: readonly number[]): number => x.reduce((s, v) => s + v, 0) / x.length;
const chanceOf = (batches: readonly number[]): Chance => {
  const m = mean(batches);
  const variance = batches.reduce((s, v) => s + (v - m) ** 2, 0) / (batches.length - 1);
  return { chance: m, error: Math.sqrt(variance / batches.length) };
};

/** The state, and every kind of move as a function of how fast step sizes adapt. */
const chain = (input: ChainInput, random: Random) => {
  const { treatment, groups, successes: y, trials: n } = input;
  const T = treatment.levels.length;
  const rows = y.map((_, i) => i);
  const rowsOf = (of: Coded) => of.levels.map((_, g) => rows.filter((i) => of.codes[i] === g));
  const rowsT = rowsOf(treatment);
  const rowsG = groups.map(rowsOf);
  const share = rowsT.map((own) => own.length / rows.length);
  const tau = new Float64Array(T).fill(-1);
  const effect = groups.map(({ levels }) => new Float64Array(levels.length));
  const logSd = new Float64Array(groups.length).fill(-1);
  const eta = new Float64Array(rows.length).fill(-1);
  const likelihood = (own: readonly number[], shift: number): number => {
    let sum = 0;
    for (const i of own) {
      sum += y[i] * shift - n[i] * (softplus(eta[i] + shift) - softplus(eta[i]));
    }
    return sum;
  };
  // Differences from the first normal(0, 2.5), the mean over rows normal(0, 5).
  const prior = (t: ArrayLike<number>): number => {
    let overall = 0;
    let sum = 0;
    for (let a = 0; a < T; a++) {
      overall += share[a] * t[a];
      sum += (t[a] - t[0]) ** 2 / 6.25;
    }
    return -(sum + overall ** 2 / 25) / 2;
  };
  const shifted = (by: (a: number) => number) => tau.map((v, a) => v + by(a));
  const square = (e: Float64Array, shift: number) => e.reduce((s, v) => s + (v + shift) ** 2, 0);
  const moves: ((adapt: number) => void)[] = [];
  for (let a = 0; a < T; a++) {
    const walk = walker(random);
    moves.push((adapt) => {
      walk(
        adapt,
        (d) => likelihood(rowsT[a], d) + prior(shifted((b) => (a === b ? d : 0))) - prior(tau),
        (d) => {
          tau[a] += d;
          for (const i of rowsT[a]) eta[i] += d;
        },
      );
    });
  }
  groups.forEach(({ levels }, k) => {
    const e = effect[k];
    const precision = () => Math.exp(-2 * logSd[k]);
    levels.forEach((_, g) => {
      const walk = walker(random);
      moves.push((adapt) => {
        walk(
          adapt,
          (d) => likelihood(rowsG[k][g], d) - (precision() * ((e[g] + d) ** 2 - e[g] ** 2)) / 2,
          (d) => {
            e[g] += d;
            for (const i of rowsG[k][g]) eta[i] += d;
          },
        );
      });
    });
    const level = walker(random);
    moves.push((adapt) => {
      level(
        adapt,
        (d) =>
          prior(shifted(() => d)) - prior(tau) - (precision() * (square(e, -d) - square(e, 0))) / 2,
        (d) => {
          for (let a = 0; a < T; a++) tau[a] += d;
          for (let g = 0; g < e.length; g++) e[g] -= d;
        },
      );
    });
    // Exponential(1) on the standard deviation, walked on its logarithm.
    const priorSd = (x: number) => x - Math.exp(x);
    const held = walker(random);
    moves.push((adapt) => {
      held(
        adapt,
        (d) =>
          priorSd(logSd[k] + d) -
          priorSd(logSd[k]) -
          e.length * d -
          (precision() * (Math.exp(-2 * d) - 1) * square(e, 0)) / 2,
        (d) => {
          logSd[k] += d;
        },
      );
    });
    const scaled = walker(random);
    moves.push((adapt) => {
      const gain = (d: number) => {
        let sum = priorSd(logSd[k] + d) - priorSd(logSd[k]);
        for (let g = 0; g < e.length; g++) sum += likelihood(rowsG[k][g], e[g] * Math.expm1(d));
        return sum;
      };
      scaled(adapt, gain, (d) => {
        logSd[k] += d;
        for (let g = 0; g < e.length; g++) {
          const shift = e[g] * Math.expm1(d);
          e[g] += shift;
          for (const i of rowsG[k][g]) eta[i] += shift;
        }
      });
    });
  });
  return { tau, logSd, moves };
};

const summaryOf = (bins: Float64Array) => {
  const middle = (b: number): number => (b + 0.5) / BINS;
  const m = bins.reduce((sum, w, b) => sum + w * middle(b), 0);
  const square = bins.reduce((sum, w, b) => sum + w * (middle(b) - m) ** 2, 0);
  const at = (share: number): number => {
    let sum = 0;
    return middle(bins.findIndex((w) => (sum += w) >= share));
  };
  return { mean: m, sd: Math.sqrt(square), q025: at(0.025), q975: at(0.975) };
};

/** Runs the chain and counts. */
export const runChain = (input: ChainInput, random: Random): ChainAnswer => {
  const { tau, logSd, moves } = chain(input, random);
  const T = tau.length;
  const zeros = () => Array.from({ length: BATCHES }, () => new Float64Array(3 * T));
  const hits = zeros();
  const sums = Array.from({ length: T + logSd.length }, () => [0, 0]);
  const add = (k: number, x: number) => {
    sums[k][0] += x / input.sweeps;
    sums[k][1] += (x * x) / input.sweeps;
  };
  const size = Math.ceil(input.sweeps / BATCHES);
  const bins = Array.from({ length: T }, () => new Float64Array(BINS));
  for (let sweep = -input.burn; sweep < input.sweeps; sweep++) {
    const adapt = sweep < 0 ? 2 / Math.sqrt(sweep + input.burn + 10) : 0;
    for (const move of moves) move(adapt);
    if (sweep < 0) continue;
    const into = hits[Math.floor(sweep / size)];
    const p = tau.map((x) => 1 / (1 + Math.exp(-x)));
    let best = 0;
    for (let a = 0; a < T; a++) {
      bins[a][Math.floor(p[a] * BINS * (1 - 1e-12))] += 1 / input.sweeps;
      if (p[a] < p[best]) best = a;
      if (a > 0 && p[a] < p[0]) into[T + a] += 1 / size;
      if (a > 0 && p[a] <= (1 - input.worthHaving) * p[0]) into[2 * T + a] += 1 / size;
      add(a, tau[a] - tau[0]);
    }
    into[best] += 1 / size;
    logSd.forEach((x, k) => add(T + k, Math.exp(x)));
  }
  const part = (from: number) =>
    Array.from({ length: T }, (_, a) => chanceOf(hits.map((batch) => batch[from + a])));
  const moments = sums.map(([m, s]) => ({ mean: m, sd: Math.sqrt(Math.max(0, s - m * m)) }));
  return {
    best: part(0),
    beatsControl: part(T),
    beatsWorthwhile: part(2 * T),
    difference: moments.slice(0, T),
    spread: moments.slice(T),
    probability: bins.map(summaryOf),
  };
};
