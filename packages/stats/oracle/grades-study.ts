// How often trials without any effect of a treatment are claimed to have one, at a stated 5 %: models
// of grades and of days with random blocks and plots, by the plain chi-square, by the correction for
// few plots, by comparisons with the control, and by the layout's own test of plots.
// Prints the tables in docs/methods.md: npx tsx packages/stats/oracle/grades-study.ts [trials]
import { exactTest } from '../src/exact/exact-test';
import { fewPlotsTest, shiftsVersusControl } from '../src/mixed/few-plots';
import { plainLikelihoodRatio } from '../src/mixed/likelihood-ratio';
import { fitOrdinalMixed } from '../src/mixed/ordinal-mixed';
import { chiSquareUpper } from '../src/distributions/gamma';
import { createRandom, type Random } from '../src/random';
import { blockedRankScores } from '../src/ranks/blocked-ranks';
import { scoresByPlot } from '../src/ranks/score-test';
import { fitGroupedHazards } from '../src/survival/grouped-hazards';
import { logRankScores } from '../src/survival/interval-scores';

type Truth = {
  readonly kind: 'grades' | 'days';
  readonly blocks: number;
  readonly plants: number;
  /** Standard deviations between blocks and between plots, logits or log hazards. */
  readonly block: number;
  readonly plot: number;
  /** Thresholds of the grades; looks at which plants are seen. */
  readonly cuts: readonly number[];
};

const TREATMENTS = 4;
const TRIALS = Number(process.argv[2] ?? 1000);

const six = [-1.95, -0.6, 0.17, 0.96, 2.1];
const weeks = [7, 14, 21, 28, 35, 42, 49, 56];
const truths: readonly Truth[] = [
  { kind: 'grades', blocks: 4, plants: 5, block: 0.4, plot: 0, cuts: six },
  { kind: 'grades', blocks: 4, plants: 5, block: 0.4, plot: 0.5, cuts: six },
  { kind: 'grades', blocks: 4, plants: 5, block: 0.4, plot: 1, cuts: six },
  { kind: 'grades', blocks: 4, plants: 5, block: 0.4, plot: 2, cuts: six },
  { kind: 'grades', blocks: 4, plants: 5, block: 1.5, plot: 1, cuts: six },
  { kind: 'grades', blocks: 4, plants: 5, block: 0.4, plot: 1, cuts: [-0.5, 1.2] },
  { kind: 'grades', blocks: 3, plants: 5, block: 0.4, plot: 1, cuts: six },
  { kind: 'grades', blocks: 6, plants: 5, block: 0.4, plot: 1, cuts: six },
  { kind: 'days', blocks: 4, plants: 6, block: 0.4, plot: 0, cuts: weeks },
  { kind: 'days', blocks: 4, plants: 6, block: 0.4, plot: 0.5, cuts: weeks },
  { kind: 'days', blocks: 4, plants: 6, block: 0.4, plot: 1, cuts: weeks },
];

const levels = (n: number): string[] => Array.from({ length: n }, (_, i) => String(i));
const uniform = (random: Random): number => (random.next() + 0.5) * 2 ** -32;

type Claims = { plain: number; f: number; control: number; exact: number; failed: number };

const study = (truth: Truth): Claims => {
  const random = createRandom(20261125);
  const plots = truth.blocks * TREATMENTS;
  const plotOf = Int32Array.from({ length: plots * truth.plants }, (_, i) =>
    Math.floor(i / truth.plants),
  );
  const blockOf = plotOf.map((p) => Math.floor(p / TREATMENTS));
  const factors = [
    { name: 'treatment', codes: plotOf.map((p) => p % TREATMENTS), levels: levels(TREATMENTS) },
  ];
  const groupings = [
    { name: 'block', codes: blockOf, levels: levels(truth.blocks) },
    { name: 'plot', codes: plotOf, levels: levels(plots) },
  ];
  const degrees = {
    plots,
    error: (truth.blocks - 1) * (TREATMENTS - 1),
    above: ['block'],
  };
  const claims: Claims = { plain: 0, f: 0, control: 0, exact: 0, failed: 0 };
  const layouts = {
    kind: 'strata' as const,
    strata: levels(truth.blocks).map((_, b) =>
      levels(TREATMENTS).map((__, t) => b * TREATMENTS + t),
    ),
  };
  for (let trial = 0; trial < TRIALS; trial++) {
    const blocks = levels(truth.blocks).map(() => truth.block * random.normal());
    const own = levels(plots).map(
      (_, p) => blocks[Math.floor(p / TREATMENTS)] + truth.plot * random.normal(),
    );
    let scores: Float64Array;
    let fit: Parameters<typeof fewPlotsTest>[0];
    let without: number;
    try {
      if (truth.kind === 'grades') {
        const grades = Array.from(plotOf, (p) => {
          const latent = own[p] + Math.log(1 / uniform(random) - 1);
          return truth.cuts.filter((cut) => latent > cut).length;
        });
        scores = blockedRankScores(grades, blockOf);
        const found = fitOrdinalMixed({
          grades,
          classes: truth.cuts.length + 1,
          fixed: { factors },
          random: groupings,
        });
        fit = found;
        without = plainLikelihoodRatio(found)!.logLikWithout;
      } else {
        const days = Array.from(plotOf, (p) => -40 * Math.log(uniform(random)) * Math.exp(-own[p]));
        const before = days.map((d) => truth.cuts.findLast((look) => look < d) ?? 0);
        const after = days.map((d) => truth.cuts.find((look) => look >= d) ?? Infinity);
        scores = logRankScores({ left: before, right: after, block: blockOf });
        const input = { left: before, right: after, fixed: { factors }, random: groupings };
        fit = fitGroupedHazards(input);
        without = fitGroupedHazards({ ...input, fixed: { factors: [] } }).logLik;
      }
    } catch {
      claims.failed++;
      continue;
    }
    const test = fewPlotsTest(fit, without, degrees)!;
    if (chiSquareUpper(test.ratio, test.df1) <= 0.05) claims.plain++;
    if (test.p <= 0.05) claims.f++;
    if (shiftsVersusControl(fit, degrees)?.shifts.some(({ p }) => p <= 0.05)) claims.control++;
    const exact = exactTest({
      y: scoresByPlot(scores, plotOf, plots, truth.kind === 'grades' ? 'mean' : 'sum'),
      labels: Uint8Array.from({ length: plots }, (_, p) => p % TREATMENTS),
      layouts,
      treatments: TREATMENTS,
      seed: 1,
      draws: 2000,
      maxLayouts: 20_000,
      pairs: false,
    });
    if (exact.kind === 'tested' && exact.p <= 0.05) claims.exact++;
  }
  return claims;
};

const percent = (count: number): string => `${((100 * count) / TRIALS).toFixed(1)} %`;

console.log(
  '| what | blocks | plants | sd of blocks | sd of plots | classes | plain chi-square | F, few plots | any against control | drawn layout |',
);
console.log('| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |');
for (const truth of truths) {
  const { plain, f, control, exact, failed } = study(truth);
  const { kind, blocks, plants, block, plot, cuts } = truth;
  console.log(
    `| ${[kind, blocks, plants, block, plot, cuts.length + 1, percent(plain), percent(f), percent(control), percent(exact)].join(' | ')} |${failed > 0 ? ` (${failed} not fitted)` : ''}`,
  );
}
