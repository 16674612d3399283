import { listed } from '../numbers';
import type { PowerQuestion } from './question';
import type { PowerFigures, Share } from './study';

const inHundred = (share: number): number => Math.round(100 * share);

/** "in 62 of 100 such trials (59 to 65)". */
const often = ({ share, low, high }: Share): string =>
  `in ${inHundred(share)} of 100 such trials (${inHundred(low)} to ${inHundred(high)})`;

/** What the treatment that truly differs does: "halves the disease". */
function deed({ expected, differencePercent }: PowerQuestion): string {
  const size = Number(differencePercent.toPrecision(3));
  if (size === 0) return 'does nothing';
  if (expected.kind === 'value') {
    return expected.better === 'higher' ? `gives ${size} % more` : `gives ${size} % less`;
  }
  if (size === 50) return 'halves the disease';
  return size === 100 ? 'prevents all disease' : `prevents ${size} % of the disease`;
}

/** How the plots are laid out: "With 4 blocks of 4 treatments, 5 plants a plot". */
export function layoutWords({ request, plantsPerPlot }: PowerQuestion): string {
  const { kind, blocks, treatments, perBlock = 0, replicates } = request;
  const t = treatments.length;
  const plants = `${plantsPerPlot} ${plantsPerPlot === 1 ? 'plant' : 'plants'} a plot`;
  switch (kind) {
    case 'completely-randomised':
      return replicates === undefined
        ? `With ${blocks} plots of each of ${t} treatments, ${plants}`
        : `With ${listed(replicates.map(String))} plots of ${t} treatments, ${plants}`;
    case 'latin-square':
      return `With a Latin square of ${t} treatments, ${plants}`;
    case 'incomplete-blocks':
      return `With ${t} treatments in ${blocks} blocks of ${perBlock} plots, ${plants}`;
    default:
      return `With ${blocks} ${blocks === 1 ? 'block' : 'blocks'} of ${t} treatments, ${plants}`;
  }
}

/** The chance in words. */
export const powerSentence = (question: PowerQuestion, { called }: PowerFigures): string =>
  `${layoutWords(question)}, a treatment that ${deed(question)} would be called ${often(called)}.`;

/** A chance like this, in a word of advice; undefined where there is nothing to advise. */
export function powerAdvice({ called, simulations }: PowerFigures): string | undefined {
  if (simulations < 200) return undefined;
  if (called.high < 0.5) {
    return 'More likely than not it would be missed. If nothing is called, that will say little.';
  }
  return called.low >= 0.8 ? 'A difference of this size would seldom be missed.' : undefined;
}

/** How often a trial would call what isn't so. */
export const falseCallWords = ({ falseCall, firm }: PowerFigures): string =>
  `Firmly ${often(firm)}. Something that isn’t so would be called ${often(falseCall)}.`;

/** What the chance rests on: everything that was assumed, as sentences. */
export function powerAssumptions(question: PowerQuestion): readonly string[] {
  const { expected, unevenness, rounds } = question;
  const { block, plot, plant } = unevenness;
  const isValue = expected.kind === 'value';
  const unit = isValue ? ' % of the control’s mean' : ' log-odds';
  const spread = `Standard deviations between blocks ${block}, plots ${plot} and plants ${plant}${unit}.`;
  return [
    expectedWords(question),
    ...(rounds > 1 && !isValue
      ? [
          `It starts at a tenth of that at the first of ${rounds} rounds and grows on a logistic curve.`,
        ]
      : []),
    spread,
    'One treatment helps, alike in every plot and at every round; the others do nothing.',
    'No plot is lost and nothing is stripped.',
    'One value a plot, judged once at the end; planned looks and other methods are not simulated.',
  ];
}

function expectedWords({ expected }: PowerQuestion): string {
  switch (expected.kind) {
    case 'leaves':
      return `The control has ${expected.percent} % of its leaves diseased at the last round, of ${expected.leaves} leaves counted on each plant.`;
    case 'severity':
      return `The control has ${expected.percent} % of its leaf area diseased at the last round.`;
    case 'grades':
      return `The control has a grade index of ${expected.percent} % at the last round, in ${expected.classes} grades.`;
    case 'value':
      return `The control’s mean is ${expected.mean}.`;
  }
}
