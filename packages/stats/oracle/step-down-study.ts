// How often a step-down against the control claims a treatment that has no effect, by plain
// differences (as exactTest does) and by differences over the relabelled residual variance.
// Prints the table in the room's README: npx tsx packages/stats/oracle/step-down-study.ts
import { type Random, createRandom } from '../src/random';

type Truth = {
  readonly blocks: number;
  /** Effects in standard deviations of an untreated plot; the control first. */
  readonly effects: readonly number[];
  /** Standard deviation of a treatment's plots, the control's first. */
  readonly spread: readonly number[];
};

const TRIALS = 4000;
const DRAWS = 399;
const LEVEL = 0.05;

/** Block-adjusted values of one trial, blocks x treatments. */
const drawTrial = ({ blocks, effects, spread }: Truth, random: Random): Float64Array[] =>
  Array.from({ length: blocks }, () => {
    const y = Float64Array.from(effects, (e, j) => e + spread[j] * random.normal());
    const mean = y.reduce((s, v) => s + v, 0) / y.length;
    return y.map((v) => v - mean);
  });

/** Differences from the control, plain and over the residual root mean square (up to a constant). */
const statistics = (rows: readonly Float64Array[], k: number) => {
  const totals = new Float64Array(k);
  let all = 0;
  for (const row of rows)
    for (let j = 0; j < k; j++) {
      totals[j] += row[j];
      all += row[j] * row[j];
    }
  const treated = totals.reduce((s, t) => s + t * t, 0) / rows.length;
  const plain = Array.from(totals, (t) => Math.abs(t - totals[0]));
  const root = Math.sqrt(Math.max(1e-300, all - treated));
  return { plain, studentised: plain.map((d) => d / root) };
};

/** True if the step-down claims a treatment without effect. */
const claimsWrongly = (
  drawn: readonly number[],
  relabelled: readonly (readonly number[])[],
  idle: readonly boolean[],
): boolean => {
  const order = [...drawn.keys()].slice(1).sort((a, b) => drawn[b] - drawn[a]);
  for (const [i, j] of order.entries()) {
    const rest = order.slice(i);
    const reached = relabelled.filter(
      (d) => Math.max(...rest.map((r) => d[r])) >= drawn[j] * (1 - 1e-9),
    ).length;
    if ((1 + reached) / (1 + DRAWS) > LEVEL) return false;
    if (idle[j]) return true;
  }
  return false;
};

const study = (truth: Truth): { readonly plain: number; readonly studentised: number } => {
  const random = createRandom(20261125);
  const k = truth.effects.length;
  const idle = truth.effects.map((e, j) => e === 0 && j > 0);
  const wrong = { plain: 0, studentised: 0 };
  for (let trial = 0; trial < TRIALS; trial++) {
    const rows = drawTrial(truth, random);
    const drawn = statistics(rows, k);
    const relabelled = Array.from({ length: DRAWS }, () => {
      for (const row of rows) random.shuffle(row);
      return statistics(rows, k);
    });
    for (const kind of ['plain', 'studentised'] as const)
      if (
        claimsWrongly(
          drawn[kind],
          relabelled.map((s) => s[kind]),
          idle,
        )
      )
        wrong[kind]++;
  }
  return { plain: wrong.plain / TRIALS, studentised: wrong.studentised / TRIALS };
};

const truths: readonly Truth[] = [
  { blocks: 4, effects: [0, 0, 0, 0], spread: [1, 1, 1, 1] },
  { blocks: 4, effects: [0, -2, 0, 0], spread: [1, 1, 1, 1] },
  { blocks: 4, effects: [0, -10, 0, 0], spread: [1, 1, 1, 1] },
  { blocks: 4, effects: [0, -10, 10, 0], spread: [1, 1, 1, 1] },
  { blocks: 4, effects: [0, -6, 0, 0], spread: [1, 0.1, 1, 1] },
  { blocks: 4, effects: [0, -6, -6, 0], spread: [1, 0.1, 0.1, 1] },
  { blocks: 4, effects: [0, -0.9, -0.9, 0], spread: [1, 0.1, 0.1, 1] },
  { blocks: 5, effects: [0, -1.8, -1.8, 0, 0, 0], spread: [1, 0.1, 0.1, 1, 1, 1] },
  { blocks: 4, effects: [0, 0, 0, 0], spread: [1, 0.1, 1, 1] },
];

const percent = (x: number): string => `${(100 * x).toFixed(1)} %`;
for (const truth of truths) {
  const { plain, studentised } = study(truth);
  const row = [truth.blocks, truth.effects.join(', '), truth.spread.join(', ')];
  process.stdout.write(`| ${[...row, percent(plain), percent(studentised)].join(' | ')} |\n`);
}
