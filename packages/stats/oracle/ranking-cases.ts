// Cases of ranking that R's answers don't cover, for ranking-study.ts and the tests beside src/bayes.
import { factorOf, numbersOf, readTable } from './read';

type Coded = {
  readonly name: string;
  readonly codes: readonly number[];
  readonly levels: readonly string[];
};
export type RankingCase = {
  readonly name: string;
  readonly treatment: Coded;
  readonly groups: readonly Coded[];
  readonly successes: readonly number[];
  readonly trials: readonly number[];
};

/** Plots of a table summed over their plants. */
const byPlot = (file: string) => {
  const rows = readTable(file);
  const plot = factorOf(rows, 'plot');
  const y = numbersOf(rows, 'diseased');
  const n = numbersOf(rows, 'leaves');
  const first = plot.levels.map((_, p) => Array.from(plot.codes).indexOf(p));
  const sum = (values: readonly number[]) =>
    plot.levels.map((_, p) =>
      values.reduce((total, v, i) => (plot.codes[i] === p ? total + v : total), 0),
    );
  const coded = (name: string): Coded => {
    const all = factorOf(rows, name);
    return { name, levels: all.levels, codes: first.map((i) => all.codes[i]) };
  };
  return {
    treatment: coded('trt'),
    groups: [coded('block'), coded('plot')],
    successes: sum(y),
    trials: sum(n),
  };
};

const leaf = byPlot('leaf_4x4x6');
const atTreatment = (code: number, of: (y: number, n: number, i: number) => number) =>
  leaf.successes.map((y, i) => (leaf.treatment.codes[i] === code ? of(y, leaf.trials[i], i) : y));

export const RANKING_CASES: readonly RankingCase[] = [
  { name: 'leaf_4x4x6', ...leaf },
  { name: 'leaf_4x4x6_rare', ...byPlot('leaf_4x4x6_rare') },
  // Treatment C without one diseased leaf: its logit has no finite estimate.
  { ...leaf, name: 'no diseased leaf in C', successes: atTreatment(2, () => 0) },
  // Every plot of a treatment alike: less spread between plots than chance alone would give.
  {
    ...leaf,
    name: 'plots as alike as can be',
    trials: leaf.trials.map(() => 40),
    successes: leaf.treatment.codes.map((code) => [16, 10, 9, 15][code]),
  },
  // Five leaves a plot, where Laplace's method has least to go by.
  {
    ...leaf,
    name: 'five leaves a plot',
    trials: leaf.trials.map(() => 5),
    successes: leaf.successes.map((y, i) => Math.round((5 * y) / leaf.trials[i])),
  },
];
