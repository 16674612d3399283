import {
  type Dunnett,
  dunnett,
  exactTest,
  fitLinear,
  leastSquaresMeans,
  type LeastSquaresMeans,
  versusControl,
} from '@fairbed/stats';
import { plotValues, type Tally } from '@fairbed/trial';
import type { Claim, Evidence } from '../evidence';
import { layoutTerms, type Response, treatmentFactor, treatmentTerm } from '../fit';
import { analyse } from '../outcome';
import { onItsScale, scaledAnalysis } from '../scale';
import { claimsFor } from '../verdict';
import { judgedEvidence, type Laid, weighed } from './judged';

/**
 * The way to a decision that leaves out what can't change it. The choice of scale, least squares,
 * Dunnett's p, the layout's step-down p and the rules are the functions that judge a real trial;
 * left out are intervals, other pairs, ranks and sentences, and
 *
 * - the layout's test where Dunnett's p of every treatment is above 0.05: nothing above a hint can
 *   come of it (the rules take the larger p);
 * - most of its draws where fewer settle on which side of 0.05 and 0.01 p lies.
 *
 * lean.test.ts holds the decisions against those of `judge`.
 */

/** The lines the rules draw (evidence.ts: V5, V6). */
const lines = [0.05, 0.01] as const;

/** Draws that are tried one after another; the last is as many as a real trial's comparisons rest on. */
const stages = [
  { draws: 3000, maxLayouts: 4000 },
  { draws: 12_000, maxLayouts: 20_000 },
  { draws: 50_000, maxLayouts: 100_000 },
] as const;

/** Standard errors by which a drawn p must miss a line to be taken at its word. */
const clear = 3;

const isClear = (p: number, draws: number): boolean =>
  lines.every(
    (line) => Math.abs(p - line) > clear * Math.sqrt((line * (1 - line)) / draws) + 1 / draws,
  );

type Compared = { readonly name: string; readonly difference: number; readonly t: number };

/** Differences from the control over their standard errors; undefined where one can't be had. */
function comparedOf(lsm: LeastSquaresMeans, { table }: Laid): Compared[] | undefined {
  const { spread } = lsm.fit;
  const { control } = table;
  const base = lsm.means[control]?.estimate;
  const own = lsm.unscaled[control]?.[control];
  if (!spread.known || base === undefined || own === undefined) return undefined;
  const compared: Compared[] = [];
  for (const [j, { estimate }] of lsm.means.entries()) {
    if (j === control) continue;
    const [other, both] = [lsm.unscaled[j]?.[j], lsm.unscaled[j]?.[control]];
    if (estimate === undefined || other === undefined || both === undefined) return undefined;
    const difference = estimate - base;
    const se = spread.sd * Math.sqrt(other + own - 2 * both);
    compared.push({ name: table.treatment.levels[j] ?? '', difference, t: difference / se });
  }
  return compared;
}

type StepDown = {
  readonly p: ReadonlyMap<string, number>;
  readonly smallestP: number;
};

/** The layout's step-down p, by no more draws than it takes to tell on which side of the lines it is. */
function stepDown(laid: Laid, y: Float64Array, needed: readonly string[]): StepDown | undefined {
  const { table, layout } = laid;
  const { levels, codes } = table.treatment;
  if (layout.set === undefined) return undefined;
  const asked = {
    y,
    labels: Uint8Array.from(codes),
    layouts: layout.set,
    treatments: levels.length,
    control: table.control,
    blocks: layout.adjust(table),
    seed: 1,
    pairs: false,
  };
  const run = (limits: (typeof stages)[number]) => {
    const test = exactTest({ ...asked, ...limits });
    if (test.kind === 'refused') return undefined;
    const rows = test.versusControl ?? [];
    const p = new Map(rows.map((row) => [levels[row.treatment] ?? '', row.pStepDown]));
    return { p, smallestP: test.smallestP, enumerated: test.enumerated };
  };
  let tried: ReturnType<typeof run>;
  for (const stage of stages) {
    tried = run(stage);
    if (tried === undefined || tried.enumerated) return tried;
    if (needed.every((name) => isClear(tried?.p.get(name) ?? 0, stage.draws))) return tried;
  }
  return tried;
}

/** Nothing above a hint: no treatment is set apart firmly enough to be called. */
const noCall: Evidence = {
  grade: 'no answer',
  finding: 'unclear',
  better: [],
  worse: [],
  rules: ['V7'],
};

export type Decide = (tally: Tally) => Evidence;

/**
 * Decides trials of layouts that least squares alone does not weigh (incomplete blocks, split
 * plots): every figure of the model as `judge` has it, and the layout's test only where the model
 * leaves anything to call. A split plot's test has no short way.
 */
export function modelFirst(laid: Laid): Decide {
  const { table, layout, outcome, control } = laid;
  const setting = { table, layout, replicated: true, baseline: undefined, seed: 1, exact: false };
  return (tally) => {
    const values = plotValues(tally, outcome);
    const analysed = analyse(values, setting);
    if (analysed.fitted === undefined) return judgedEvidence(laid, tally);
    const byModel = claimsFor(analysed, scaledAnalysis(values, setting), control);
    const near = byModel.filter(({ pModel }) => pModel !== null && pModel <= lines[0]);
    if (near.length === 0) return noCall;
    if (layout.kind === 'split-plot') return judgedEvidence(laid, tally);
    const moved = onItsScale(values).values;
    const y = Float64Array.from(table.plots, (plot) => moved.get(plot) ?? NaN);
    const needed = near.map(({ name }) => name);
    const test = stepDown(laid, y, needed);
    const claims = byModel.map((claim) => ({ ...claim, pExact: test?.p.get(claim.name) ?? null }));
    const smallestP = test?.smallestP ?? null;
    return weighed(laid, tally, { claims, smallestP, used: analysed.used });
  };
}

/**
 * Decides trials of one layout. The steps fair and firm are as `judge` gives them; below these,
 * hints are not told from nothing.
 */
export function leanDecider(laid: Laid): Decide {
  const { table, layout } = laid;
  const kept = table.plots.map((_, i) => i);
  let family: { readonly dunnett: Dunnett; readonly line: number } | undefined;
  return (tally) => {
    const values = onItsScale(plotValues(tally, laid.outcome));
    const list = table.plots.map((plot) => values.values.get(plot));
    if (list.some((value) => value === undefined)) return judgedEvidence(laid, tally);
    const y = Float64Array.from(list, (value) => value ?? 0);
    const response: Response = { table, kept, y, baseline: undefined };
    const fit = fitLinear({
      y,
      terms: [...layoutTerms(response, layout.latin), treatmentFactor(response)],
    });
    const lsm = leastSquaresMeans(fit, treatmentTerm);
    const compared = comparedOf(lsm, laid);
    if (compared === undefined) return judgedEvidence(laid, tally);
    // Neither the correlation of the differences nor the degrees of freedom depend on the values.
    if (family === undefined) {
      const { correlation, df } = versusControl(lsm, table.control);
      const made = dunnett(correlation, df);
      family = { dunnett: made, line: made.quantile(1 - lines[0]) };
    }
    const known = family;
    // At the line itself the p decides, not this reckoning of it.
    const far = compared.filter(({ t }) => Math.abs(t) > known.line * (1 - 1e-6));
    if (far.length === 0) return noCall;
    const test = stepDown(
      laid,
      y,
      far.map(({ name }) => name),
    );
    const sign = values.better === 'lower' ? -1 : 1;
    const claims = compared.map(({ name, difference, t }): Claim => {
      const tested = far.some((one) => one.name === name);
      return {
        name,
        gain: sign * difference,
        benefit: null,
        low: null,
        high: null,
        pModel: tested ? known.dunnett.upper(t).p : 1,
        pExact: test?.p.get(name) ?? null,
      };
    });
    return weighed(laid, tally, {
      claims,
      smallestP: test?.smallestP ?? null,
      used: table.plots.length,
    });
  };
}
