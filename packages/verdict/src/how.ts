import type { PlotValues } from '@fairbed/trial';
import type { Outcome } from './judgement';
import type { Judgement } from './whole';
import type { Layout } from './layout';
import { chance, groupedText } from './numbers';

/** How each figure was made, a sentence each, for whoever wants to follow or repeat it. */
export function howComputed(input: {
  readonly design: Judgement['design'];
  readonly layout: Layout;
  readonly outcome: Outcome | undefined;
  readonly baseline: PlotValues | undefined;
}): string[] {
  const { design, outcome, baseline, layout } = input;
  if (outcome === undefined) return [];
  const lines = [
    `${outcome.title}: one value for each plot; plants in a plot are subsamples, not replicates.`,
  ];
  if (outcome.mixed) {
    const random = Object.keys(outcome.mixed.sd).filter((name) => name !== 'residual');
    lines.push(
      `Mixed model by REML, ${random.join(' and ')} random; errors and degrees of freedom after Kenward and Roger; least-squares means; Dunnett's test against the control, each comparison with its own degrees of freedom; all pairs from the studentised range, letters at 5 %.`,
    );
  } else if (outcome.anova) {
    const terms = outcome.anova.rows.map(({ source }) => source).filter((s) => s !== 'residual');
    lines.push(
      `Least squares on ${terms.join(', then ')}; least-squares means; Dunnett's test against the control (multivariate t by numerical integration), Tukey-Kramer for all pairs, letters at 5 %.`,
    );
  }
  if (outcome.scale && outcome.scale.used !== 'as scored') {
    lines.push(
      `${outcome.scale.why} The verdict's percentages, Dunnett's test and the test of the layout are those of the ${outcome.scale.used}, back on the outcome's own unit; the tables above it are as scored.`,
    );
  }
  if (outcome.exact) {
    const { enumerated, layouts, seed } = outcome.exact;
    lines.push(
      `Test of the drawn layout: ${layout.what}, ${groupedText(design.layouts)} possible; ${
        enumerated
          ? `all walked`
          : `${groupedText(layouts)} drawn with seed ${String(seed ?? '')}, p = (1 + hits) / (1 + draws)`
      }; comparisons with the control by the step-down maximum over the same layouts; smallest possible p ${chance(design.smallestP ?? 1)}.`,
    );
  }
  if (baseline && typeof outcome.baselineAdjusted?.slope === 'number') {
    lines.push(
      `Adjusted for ${baseline.title} (analysis of covariance); so is the layout's test, anew in every layout.`,
    );
  }
  if ((outcome.efficacy ?? []).length > 0) {
    lines.push(
      'Efficacy is percent less than the control (Abbott; with a baseline of the same measure also Henderson and Tilton), with intervals by a ratio method (Fieller, or on the logarithm).',
    );
  }
  if (outcome.tippingPoint && outcome.tippingPoint.length > 0) {
    lines.push(
      'Tipping point: the difference over 1.96 times the square root of 2, the standard deviation between like plots at which a difference so large comes up once in twenty.',
    );
  }
  return lines;
}
