// How often a model of all rounds claims a difference where there is none: npx tsx packages/stats/oracle/weeks-study.ts
// The table stands in docs/methods.md. Some minutes a row.
import { crossFactors, type Factor } from '../src/linear/design';
import { fitLinear } from '../src/linear/fit';
import { createRandom } from '../src/random';
import { fitReml } from '../src/reml/fit';
import { precisionOf } from '../src/reml/information';
import { termTest } from '../src/reml/wald';

const [treatments, blocks, rounds, trials] = [4, 4, 6, 800];

const factor = (name: string, codes: readonly number[]): Factor => ({
  kind: 'factor',
  name,
  codes,
  levels: [...new Set(codes)].map(String),
});

const rows = Array.from({ length: blocks * treatments * rounds }, (_, i) => ({
  plot: Math.floor(i / rounds),
  block: Math.floor(i / rounds / treatments),
  trt: Math.floor(i / rounds) % treatments,
  round: i % rounds,
}));
const by = (name: keyof (typeof rows)[number]): Factor =>
  factor(
    name,
    rows.map((row) => row[name]),
  );
const terms = [by('block'), by('trt'), by('round'), crossFactors('cell', by('trt'), by('round'))];
const plots = rows.map(({ plot }) => plot);
const means = Array.from({ length: blocks * treatments }, (_, plot) => plot);

/** Plots whose lasting part has standard deviation `lasting`, and whose fading part 1. */
function drawn(seed: number, lasting: number, rho: number): Float64Array {
  const random = createRandom(seed);
  let last = 0;
  let fading = 0;
  return Float64Array.from(rows, ({ round }) => {
    if (round === 0) last = lasting * random.normal();
    fading =
      round === 0 ? random.normal() : rho * fading + Math.sqrt(1 - rho ** 2) * random.normal();
    return last + fading;
  });
}

function meansP(y: Float64Array): number {
  const mean = means.map((plot) => {
    const own = y.subarray(plot * rounds, (plot + 1) * rounds);
    return own.reduce((sum, value) => sum + value, 0) / rounds;
  });
  const codes = {
    block: means.map((p) => Math.floor(p / treatments)),
    trt: means.map((p) => p % treatments),
  };
  return (
    fitLinear({ y: mean, terms: [factor('block', codes.block), factor('trt', codes.trt)] }).anova[1]
      .p ?? 1
  );
}

for (const [lasting, rho] of [
  [1, 0.3],
  [0, 0.6],
]) {
  const claims = new Map<string, number>();
  const count = (name: string, p: number): void => {
    claims.set(name, (claims.get(name) ?? 0) + (p <= 0.05 ? 1 : 0));
  };
  for (let seed = 1; seed <= trials; seed++) {
    const y = drawn(seed, lasting, rho);
    count('plot means', meansP(y));
    for (const random of [[], [{ name: 'plot', codes: plots }]]) {
      const serial = { subject: plots, times: rows.map(({ round }) => round) };
      const fit = fitReml({ y, terms, random, serial });
      if (!fit.known) continue;
      for (const method of ['kenward-roger', 'satterthwaite'] as const) {
        const precision = precisionOf(fit, method);
        for (const term of ['trt', 'cell']) {
          const name = `${random.length > 0 ? 'plots and rho' : 'rho alone'}, ${method}, ${term}`;
          count(name, termTest(precision, term)?.p ?? 1);
        }
      }
    }
  }
  process.stdout.write(`lasting ${lasting}, rho ${rho}\n`);
  for (const [name, n] of claims)
    process.stdout.write(`  ${name}: ${((100 * n) / trials).toFixed(1)} %\n`);
}
