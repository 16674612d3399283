// A thousand simulated trials of counts, drawn and tested on one thread: see trials.ts.
import {
  createRandom,
  createTreatmentTester,
  simulateCounts,
  type TreatmentTester,
} from '@fairbed/stats';

export type Scenario = {
  readonly name: string;
  /** Logits of the four treatments, standard deviations of block and plot. */
  readonly logits: readonly number[];
  readonly sd: readonly [number, number];
};

export const TRIALS = 1000;

const plots = Array.from({ length: 16 }, (_, i) => i);

const grouping = (name: string, of: (plot: number) => number, levels: number) => ({
  name,
  codes: plots.map(of),
  levels: Array.from({ length: levels }, (_, l) => `${name} ${l}`),
});

const treatment = grouping('treatment', (plot) => plot % 4, 4);

export const newTester = (): TreatmentTester => {
  const random = [
    grouping('block', (plot) => Math.floor(plot / 4), 4),
    grouping('plot', (plot) => plot, 16),
  ];
  const degrees = { plots: 16, error: 9, above: ['block'] };
  const tester = createTreatmentTester({ rows: 16, factors: [treatment], random }, degrees);
  if (!tester) throw new Error('the layout of the bench can’t be tested');
  return tester;
};

/** Draws and tests a thousand trials; how many are claimed at 5 % by chi-square and by F. */
export const runTrials = ({ logits, sd }: Scenario, tester: TreatmentTester) => {
  const random = createRandom(20261125);
  const trials = new Float64Array(16).fill(72);
  const plan = {
    logits: treatment.codes.map((t) => logits[t]),
    trials,
    terms: tester.groupings.terms,
    sd,
  };
  const made = new Float64Array(16);
  let plain = 0;
  let corrected = 0;
  for (let i = 0; i < TRIALS; i++) {
    const { pPlain, p } = tester.test(simulateCounts(plan, random, made), trials);
    if (pPlain <= 0.05) plain++;
    if (p <= 0.05) corrected++;
  }
  return { plain, corrected };
};
