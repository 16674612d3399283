// What leaving the scale as scored costs and brings: power of Dunnett's test at 5 %, and how often
// it calls one of two treatments that do nothing, in 4 x 4 trials whose plots vary in three ways.
// Its table stands in docs/methods.md. Run: npx tsx packages/stats/oracle/scale-study.ts [trials]
import {
  chooseScale,
  createRandom,
  fitLinear,
  leastSquaresMeans,
  onScale,
  versusControl,
} from '../src/index';
import type { Random } from '../src/index';

const trials = Number(process.argv[2] ?? 2000);
const treatment = Array.from({ length: 16 }, (_, i) => i % 4);
const block = Array.from({ length: 16 }, (_, i) => Math.floor(i / 4));
const factor = (name: string, codes: readonly number[]) =>
  ({ kind: 'factor', name, codes, levels: ['1', '2', '3', '4'] }) as const;

const called = (y: readonly number[]): readonly boolean[] => {
  const fit = fitLinear({ y, terms: [factor('block', block), factor('treatment', treatment)] });
  return versusControl(leastSquaresMeans(fit, 'treatment'), 0).comparisons.map(
    ({ p }) => p !== undefined && p <= 0.05,
  );
};

type Kind = 'proportional' | 'constant' | 'root';

/** 20 in an untreated plot; of the three treatments the first leaves `effect` of it. */
function plots(kind: Kind, sd: number, effect: number, random: Random): number[] {
  const blocks = [0, 0, 0, 0].map(() => 0.2 * random.normal());
  return treatment.map((t, i) => {
    const at = blocks[block[i]];
    const mean = 20 * (t === 1 ? effect : 1);
    const noise = random.normal();
    switch (kind) {
      case 'proportional':
        return mean * Math.exp(at + sd * noise);
      case 'constant':
        return Math.max(0.1, mean + 20 * at + 20 * sd * noise);
      case 'root':
        return Math.max(0.1, mean * Math.exp(at) + 2 * sd * Math.sqrt(mean) * noise);
    }
  });
}

const share = (n: number): string => `${((100 * n) / trials).toFixed(1)} %`;
const random = createRandom(11);
console.log('| Spread | Left | As scored | Logarithm | By the rule | Called wrongly by the rule |');
for (const [kind, sd] of [
  ['proportional', 0.2],
  ['proportional', 0.4],
  ['proportional', 0.6],
  ['proportional', 0.9],
  ['constant', 0.15],
  ['constant', 0.3],
  ['root', 1],
] as const) {
  for (const effect of [1, 0.5, 0.2, 0.05]) {
    const found = { scored: 0, log: 0, rule: 0, wrong: 0 };
    for (let n = 0; n < trials; n++) {
      const y = plots(kind, sd, effect, random);
      const scored = called(y);
      const log = called(y.map(Math.log));
      const { scale } = chooseScale(y);
      const rule = scale.name === 'as-scored' ? scored : called(y.map((v) => onScale(scale, v)));
      found.scored += Number(scored[0]);
      found.log += Number(log[0]);
      found.rule += Number(rule[0]);
      found.wrong += Number(rule[1] || rule[2]);
    }
    const { scored, log, rule, wrong } = found;
    console.log(
      `| ${kind} ${sd} | ${100 * effect} % | ${[scored, log, rule, wrong].map(share).join(' | ')} |`,
    );
  }
}
