import { type OutcomeId, plotValues, type Tally } from '@fairbed/trial';
import { type Claim, type Evidence, weigh } from '../evidence';
import type { Layout } from '../layout';
import { type Analysed, analyse } from '../outcome';
import { worthHavingWithoutPlan } from '../options';
import { peakDisease, strippingHides } from '../pressure';
import { scaledAnalysis } from '../scale';
import type { PlotTable } from '../table';
import { claimsFor } from '../verdict';

/** A layout ready to be judged many times over. */
export type Laid = {
  readonly table: PlotTable;
  readonly layout: Layout;
  readonly outcome: OutcomeId;
  /** Id of the control; a made-up trial shows treatments by their ids. */
  readonly control: string;
  /** Fewest plots of any treatment. */
  readonly fewestPlots: number;
};

/** Weighs the claims of one trial by the rules of evidence: what the verdict does with them. */
export function weighed(
  { table, outcome, control, fewestPlots }: Laid,
  tally: Tally,
  found: {
    readonly claims: readonly Claim[];
    readonly smallestP: number | null;
    readonly used: number;
  },
): Evidence {
  return weigh({
    replicated: true,
    randomised: tally.trial.design.randomised,
    peakDisease: peakDisease(tally, outcome, control),
    claims: found.claims,
    smallestP: found.smallestP,
    fewestPlots,
    lostShare: 1 - found.used / Math.max(1, table.plots.length),
    strippingHides: strippingHides(tally, outcome),
    worthHavingPercent: worthHavingWithoutPlan,
  });
}

/** Smallest p that the layout's own test can give; null where it has none. */
const smallestPOf = ({ test }: Analysed): number | null => (test?.tested ? test.smallestP : null);

/** One trial judged in full, as `judge` does it: every figure of its outcome, then the rules. */
export function judgedEvidence(laid: Laid, tally: Tally): Evidence {
  const { table, layout, outcome, control } = laid;
  const setting = { table, layout, replicated: true, baseline: undefined, seed: 1, exact: true };
  const values = plotValues(tally, outcome);
  const analysed = analyse(values, setting);
  const scaled = analysed.fitted && scaledAnalysis(values, setting);
  const claims = claimsFor(analysed, scaled, control);
  return weighed(laid, tally, { claims, smallestP: smallestPOf(analysed), used: analysed.used });
}
