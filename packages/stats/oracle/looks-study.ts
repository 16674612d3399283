// How often weekly looks call what is there and what is not, and when: simulated trials of known
// truth, held against the layouts the draw could have given. Prints the rows of the table in
// docs/methods.md. Run: npx tsx packages/stats/oracle/looks-study.ts [trials]
import { createRandom } from '../src/random';
import { layoutLooks } from '../src/sequential/layout-looks';
import { alphaSpent, type Spending } from '../src/sequential/spending';

const LOOKS = 5;
const K = 4;
const DRAWS = 199;
const spendings: Readonly<Record<string, Spending>> = {
  late: { kind: 'obrien-fleming' },
  even: { kind: 'power', exponent: 1 },
  early: { kind: 'pocock' },
};

type Truth = {
  /** What each treatment adds to a plot's disease a week, in standard deviations of a week's chance. */
  readonly effects: readonly number[];
  readonly blocks: number;
  /** Chance of plots whose treatment works, as a share of that of the others. */
  readonly spread: number;
};

function rowOf({ effects, blocks, spread }: Truth, spending: Spending, trials: number) {
  const random = createRandom(2026);
  const labels = Uint8Array.from({ length: K * blocks }, (_, i) => i % K);
  const strata = Array.from({ length: blocks }, (_, s) =>
    Array.from({ length: K }, (_, i) => s * K + i),
  );
  const spent = Array.from({ length: LOOKS }, (_, k) =>
    alphaSpent(spending, (k + 1) / LOOKS, 0.05),
  );
  const seen = { wrong: 0, right: 0, early: 0, rounds: 0 };
  for (let trial = 0; trial < trials; trial++) {
    let y = new Float64Array(labels.length);
    const looks = spent.map((may) => {
      y = y.map((before, p) => {
        const effect = effects[labels[p]];
        return before + effect + random.normal() * (effect === 0 ? 1 : spread);
      });
      return { y, spent: may };
    });
    const of = { treatments: K, control: 0, seed: random.next(), most: 0, draws: DRAWS };
    const result = layoutLooks({ looks, labels, layouts: { kind: 'strata', strata }, ...of }).looks;
    const calls = result[LOOKS - 1].versusControl.filter(({ called }) => called);
    const stop = result.findIndex((look) => look.stop);
    if (calls.some(({ treatment }) => effects[treatment] === 0)) seen.wrong++;
    if (calls.some(({ treatment }) => effects[treatment] !== 0)) seen.right++;
    if (stop >= 0 && stop < LOOKS - 1) seen.early++;
    seen.rounds += stop < 0 ? LOOKS : stop + 1;
  }
  return seen;
}

const trials = Number(process.argv[2] ?? 2000);
const truths: readonly Truth[] = [
  { effects: [0, 0, 0, 0], blocks: 4, spread: 1 },
  { effects: [0, -1, 0, 0], blocks: 4, spread: 1 },
  { effects: [0, -2, 0, 0], blocks: 4, spread: 1 },
  { effects: [0, -2, 0, 0], blocks: 4, spread: 0.1 },
  { effects: [0, -2, -2, 0], blocks: 4, spread: 0.1 },
  { effects: [0, -0.4, -0.4, 0], blocks: 4, spread: 0.1 },
  { effects: [0, -1, 0, 0], blocks: 6, spread: 1 },
];
for (const truth of truths)
  for (const [word, spending] of Object.entries(spendings)) {
    const { wrong, right, early, rounds } = rowOf(truth, spending, trials);
    const percent = (n: number): string => ((100 * n) / trials).toFixed(1);
    const told = [truth.blocks, truth.effects.join(' '), truth.spread, word];
    const found = [percent(wrong), percent(right), percent(early), (rounds / trials).toFixed(2)];
    process.stdout.write(`| ${[...told, ...found].join(' | ')} |\n`);
  }
