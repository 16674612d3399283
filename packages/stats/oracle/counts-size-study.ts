// How often tests of counts claim a difference where there is none: the plain likelihood ratio, the
// same held against F in two ways, Wald tests, treatments against the control, and the bootstrap.
// Prints the table in docs/methods.md (about 3 minutes):
//   npx tsx packages/stats/oracle/counts-size-study.ts [trials of each layout] [bootstrapped trials]
import { dunnettQuantile } from '../src/distributions/dunnett';
import { clopperPearson } from '../src/distributions/counts';
import { fUpper } from '../src/distributions/fisher';
import { countsWald } from '../src/mixed/count-comparisons';
import { fitBinomialMixed } from '../src/mixed/binomial-mixed';
import type { RandomGrouping } from '../src/mixed/design';
import { bootstrapTreatment } from '../src/nested/bootstrap';
import { simulateCounts } from '../src/nested/simulate';
import { createTreatmentTester } from '../src/nested/treatment-test';
import { createRandom } from '../src/random';

type Scenario = {
  readonly name: string;
  readonly treatments: number;
  readonly blocks: number;
  /** Rows a plot, each with its own effect when more than 1, and leaves a row. */
  readonly plants: number;
  readonly leaves: number;
  readonly logit: number;
  /** Standard deviations of block, plot, plant. */
  readonly sd: readonly [number, number, number];
  /** Blocks drawn within; otherwise over the whole bed. */
  readonly blocked: boolean;
  readonly bootstrap: boolean;
  /** Share of the trials asked for, where a trial is slow. */
  readonly share?: number;
};

const BASE = { treatments: 4, blocks: 4, plants: 1, leaves: 72, blocked: true, bootstrap: false };

const SCENARIOS: readonly Scenario[] = [
  { ...BASE, name: '4 x 4, 72 leaves, 27 %', logit: -1, sd: [0.4, 0.35, 0], bootstrap: true },
  { ...BASE, name: 'the same, plots alike', logit: -1, sd: [0.4, 0, 0], bootstrap: true },
  { ...BASE, name: 'the same, blocks alike', logit: -1, sd: [0, 0.35, 0] },
  { ...BASE, name: 'the same, plots very unlike', logit: -1, sd: [0.4, 0.8, 0] },
  { ...BASE, name: 'rare, 1.8 %', logit: -4, sd: [0.4, 0.3, 0], bootstrap: true },
  { ...BASE, name: '2 x 6', treatments: 2, blocks: 6, logit: -1, sd: [0.4, 0.35, 0] },
  { ...BASE, name: '6 x 3', treatments: 6, blocks: 3, logit: -1, sd: [0.4, 0.35, 0] },
  { ...BASE, name: '4 x 4 without blocks', blocked: false, logit: -1, sd: [0, 0.35, 0] },
  {
    ...BASE,
    name: '4 x 4, 6 plants of 12 leaves',
    plants: 6,
    leaves: 12,
    logit: -1,
    sd: [0.4, 0.25, 0.4],
    share: 0.1,
  },
];

const layoutOf = (s: Scenario) => {
  const rows = s.treatments * s.blocks * s.plants;
  const plot = (i: number) => Math.floor(i / s.plants);
  const codes = (of: (i: number) => number) => Array.from({ length: rows }, (_, i) => of(i));
  const named = (name: string, of: (i: number) => number) => ({
    name,
    codes: codes(of),
    levels: Array.from({ length: rows }, (_, l) => `${name} ${l}`),
  });
  const groups: RandomGrouping[] = [named('plot', plot)];
  if (s.blocked) groups.unshift(named('block', (i) => Math.floor(plot(i) / s.treatments)));
  if (s.plants > 1) groups.push(named('plant', (i) => i));
  const treatment = named('treatment', (i) => plot(i) % s.treatments);
  const plots = s.treatments * s.blocks;
  const error = plots - s.treatments - (s.blocked ? s.blocks - 1 : 0);
  const above = s.blocked ? ['block'] : [];
  const sd = [...(s.blocked ? [s.sd[0]] : []), s.sd[1], ...(s.plants > 1 ? [s.sd[2]] : [])];
  return { rows, groups, treatment, sd, degrees: { plots, error, above } };
};

const LEVEL = 0.05;
const KINDS = ['plain', 'LR / df', 'F of LR', 'Wald', 'Wald, wide', 'Dunnett', 'Dunnett, wide'];

const studyOf = (s: Scenario, trials: number) => {
  const { rows, groups, treatment, sd, degrees } = layoutOf(s);
  const tester = createTreatmentTester({ rows, factors: [treatment], random: groups }, degrees)!;
  const random = createRandom(20261125);
  const leaves = new Float64Array(rows).fill(s.leaves);
  const logits = new Float64Array(rows).fill(s.logit);
  const plan = { logits, trials: leaves, terms: tester.groupings.terms, sd };
  const made = new Float64Array(rows);
  const claims = new Map(KINDS.map((kind) => [kind, 0]));
  const claim = (kind: string, p: number | undefined) => {
    if (p !== undefined && p <= LEVEL) claims.set(kind, claims.get(kind)! + 1);
  };
  const m = s.treatments - 1;
  const half = Array.from({ length: m }, (_, i) =>
    Array.from({ length: m }, (_, j) => (i === j ? 1 : 0.5)),
  );
  const point = dunnettQuantile(1 - LEVEL, half, degrees.error);
  for (let trial = 0; trial < trials; trial++) {
    simulateCounts(plan, random, made);
    const test = tester.test(made, leaves);
    claim('plain', test.pPlain);
    claim('LR / df', fUpper(test.statistic / test.df, test.df, degrees.error));
    claim('F of LR', test.p);
    const fit = fitBinomialMixed({
      successes: made,
      trials: leaves,
      fixed: { factors: [treatment] },
      random: groups,
    });
    const wald = countsWald(fit, degrees);
    if (!wald) continue;
    const shape = { thresholds: [0], fixed: fit.fixed.slice(1), groups: fit.groups };
    const wide = Math.sqrt(Math.max(1, widening(shape.groups, degrees)));
    claim('Wald, wide', wald.p);
    claim('Wald', fUpper(wald.f * wide ** 2, wald.df1, wald.df2));
    const largest = Math.max(...fit.fixed.slice(1).map((c) => Math.abs(c.estimate) / c.se!));
    claim('Dunnett', largest > point ? 0 : 1);
    claim('Dunnett, wide', largest / wide > point ? 0 : 1);
  }
  return KINDS.map((kind) => claims.get(kind)!);
};

/** The square of what `plotWidening` gives. */
const widening = (
  groups: readonly { readonly name: string; readonly levels: readonly string[] }[],
  { plots, error, above }: { plots: number; error: number; above: readonly string[] },
) => {
  const blocks = groups.find(({ name }) => above.includes(name))?.levels.length ?? 0;
  return (plots - blocks) / error;
};

const bootstrapOf = (s: Scenario, trials: number, draws: number): number => {
  const { rows, groups, treatment, sd, degrees } = layoutOf(s);
  const tester = createTreatmentTester({ rows, factors: [treatment], random: groups }, degrees)!;
  const random = createRandom(11);
  const leaves = new Float64Array(rows).fill(s.leaves);
  const logits = new Float64Array(rows).fill(s.logit);
  const plan = { logits, trials: leaves, terms: tester.groupings.terms, sd };
  let claims = 0;
  for (let trial = 0; trial < trials; trial++) {
    const successes = simulateCounts(plan, random);
    if (bootstrapTreatment(tester, { successes, trials: leaves }, draws, random).p <= LEVEL)
      claims++;
  }
  return claims;
};

const inPercent = (claims: number, trials: number): string => {
  const { lower: low, upper: high } = clopperPearson(claims, trials, 0.95);
  const text = (v: number) => (100 * v).toFixed(1);
  return `${text(claims / trials)} (${text(low)}-${text(high)})`;
};

const trials = Number(process.argv[2] ?? 20000);
const nested = Number(process.argv[3] ?? 1000);
const DRAWS = 199;
console.log(['layout', ...KINDS, 'bootstrap'].join(' | '));
for (const scenario of SCENARIOS) {
  const asked = Math.round(trials * (scenario.share ?? 1));
  const claims = studyOf(scenario, asked).map((c) => inPercent(c, asked));
  const bootstrapped = scenario.bootstrap
    ? inPercent(bootstrapOf(scenario, nested, DRAWS), nested)
    : '';
  console.log([scenario.name, ...claims, bootstrapped].join(' | '));
}
