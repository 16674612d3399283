// Do stated chances come true? Trials whose truth is drawn from the priors of src/bayes, 4 treatments
// in 4 blocks, 30 leaves a plot. Prints the table in docs/methods.md:
// npx tsx packages/stats/oracle/ranking-calibration.ts
import { fileURLToPath } from 'node:url';
import type { Effort } from '../src/bayes/posterior';
import { rankTreatments } from '../src/bayes/ranking';
import { createRandom, type Random } from '../src/random';

/** What was said of a treatment, and whether it was so. */
export type Said = { readonly chance: number; readonly so: boolean };
export type Calibration = {
  readonly best: readonly Said[];
  readonly beatsControl: readonly Said[];
  readonly beatsWorthwhile: readonly Said[];
};

const T = 4;
const BLOCKS = 4;
const WORTH_HAVING = 0.3;
const LEVELS = ['A', 'B', 'C', 'D'];
const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

const exponential = (random: Random): number => -Math.log(1 - random.uniform());

/** Means of the treatments and plot means (block by treatment) from the priors, scaled. */
const drawTruth = (random: Random, scale: number) => {
  const contrast = Array.from({ length: T }, (_, t) => (t === 0 ? 0 : 2.5 * random.normal()));
  const shift = contrast.reduce((sum, b) => sum + b / T, 0);
  const overall = 5 * random.normal();
  const means = contrast.map((b) => scale * (overall + b - shift));
  const sdBlock = scale * exponential(random);
  const sdPlot = scale * exponential(random);
  const block = Array.from({ length: BLOCKS }, () => sdBlock * random.normal());
  return { means, plots: block.flatMap((b) => means.map((m) => m + b + sdPlot * random.normal())) };
};

/** Ranks `trials` drawn trials of counts and sets beside each chance whether it came true. */
export const calibrate = (trials: number, seed: number, effort?: Effort): Calibration => {
  const random = createRandom(seed);
  const best: Said[] = [];
  const beatsControl: Said[] = [];
  const beatsWorthwhile: Said[] = [];
  const index = Array.from({ length: T * BLOCKS }, (_, i) => i);
  for (let trial = 0; trial < trials; trial++) {
    const { means, plots } = drawTruth(random, 1);
    const { treatments } = rankTreatments({
      treatment: { codes: index.map((i) => i % T), levels: LEVELS, reference: 'A' },
      groups: [
        { name: 'block', codes: index.map((i) => Math.floor(i / T)), levels: ['1', '2', '3', '4'] },
        { name: 'plot', codes: index, levels: index.map(String) },
      ],
      response: {
        kind: 'counts',
        successes: plots.map((eta) => random.binomial(30, logistic(eta))),
        trials: plots.map(() => 30),
      },
      better: 'lower',
      worthHaving: WORTH_HAVING,
      ...(effort ? { effort } : {}),
    });
    const lowest = Math.min(...means);
    treatments.forEach((one, t) => {
      best.push({ chance: one.best, so: means[t] === lowest });
      if (t === 0) return;
      beatsControl.push({ chance: one.beatsControl, so: means[t] < means[0] });
      const wanted = (1 - WORTH_HAVING) * logistic(means[0]);
      beatsWorthwhile.push({ chance: one.beatsWorthwhile, so: logistic(means[t]) <= wanted });
    });
  }
  return { best, beatsControl, beatsWorthwhile };
};

/** Brier's score, and what it should be if every chance is right. */
export const brier = (said: readonly Said[]) => {
  const mean = (of: (one: Said) => number) =>
    said.reduce((sum, one) => sum + of(one), 0) / said.length;
  return {
    score: mean(({ chance, so }) => (chance - (so ? 1 : 0)) ** 2),
    expected: mean(({ chance }) => chance * (1 - chance)),
  };
};

const EDGES = [0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1.0001];

/** Per band of stated chance: how many, their mean, the share that came true. */
export const bands = (said: readonly Said[]) =>
  EDGES.slice(1).map((to, k) => {
    const own = said.filter(({ chance }) => chance >= EDGES[k] && chance < to);
    const share = own.filter(({ so }) => so).length / own.length;
    const mean = own.reduce((sum, { chance }) => sum + chance, 0) / own.length;
    return { from: EDGES[k], to: Math.min(1, to), count: own.length, mean, share };
  });

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const said = calibrate(1000, 20261125);
  for (const [name, list] of Object.entries(said)) {
    console.log(name, JSON.stringify(brier(list)));
    for (const { from, to, count, mean, share } of bands(list)) {
      console.log(`| ${from} to ${to} | ${count} | ${mean.toFixed(3)} | ${share.toFixed(3)} |`);
    }
  }
}
