import type { Trial } from '@fairbed/trial';
import type { Claim, Evidence } from './evidence';
import type { MethodId, Outcome } from './judgement';
import type { Judgement } from './whole';
import { chance, figure, listed, percent } from './numbers';

/**
 * Reasons: what the verdict rests on. In the order a neighbour would ask: against what, how big,
 * how sure, compared with what would be worth having.
 */
export type ReasonInput = {
  readonly evidence: Evidence;
  readonly outcome: Outcome;
  readonly control: string;
  readonly claims: readonly Claim[];
  readonly design: Judgement['design'];
  readonly worthHavingPercent: number;
  readonly method: MethodId;
};

export function reasons(input: ReasonInput): string[] {
  const { evidence, outcome, claims, design } = input;
  if (evidence.finding === 'unreplicated') return unreplicatedReasons(outcome);
  if (evidence.finding === 'hardly-any-disease') return [];
  const apart = [...evidence.better, ...evidence.worse];
  const told = testWords(claims, evidence, input.method);
  const rest = claims.filter(({ name }) => !apart.some((one) => one.name === name));
  const layout = design.smallestP;
  return [
    ...told,
    ...(rest.length > 0 && apart.length > 0
      ? [`Not told apart from ${input.control}: ${listed(rest.map(({ name }) => name))}.`]
      : []),
    ...worthWords(input),
    ...(layout !== null && layout > 0.05
      ? [
          `The smallest p this layout can ever give is ${chance(layout)}; it can't reach 0.05 by its own test, however clear the result.`,
        ]
      : []),
  ];
}

const modelTests: Readonly<Record<MethodId, string>> = {
  plots: "Dunnett's test",
  leaves: 'the model of counted leaves',
  grades: 'the model of grades',
  weeks: 'the model of all rounds',
  days: 'the model of days',
};

/** Of every treatment set apart, by which tests and how often chance does as much. */
export function testWords(
  claims: readonly Claim[],
  { better, worse }: Pick<Evidence, 'better' | 'worse'>,
  method: MethodId,
): string[] {
  return [...better, ...worse].flatMap(({ name, grade }) => {
    const claim = claims.find((one) => one.name === name);
    return claim === undefined ? [] : [pWords(claim, grade, modelTests[method])];
  });
}

/** "once in 1,000 trials": how often chance alone does as much. */
function oddsWords(p: number): string {
  if (p >= 0.5) return 'in most trials';
  const times = 1 / p;
  const round = times < 20 ? Math.round(times) : Number(times.toPrecision(times < 1000 ? 2 : 1));
  return times > 100_000
    ? 'less than once in 100,000 trials'
    : `about once in ${round.toLocaleString('en-GB')} trials`;
}

/** How often chance alone would do as much, by the larger of the two p-values, and both of them. */
function pWords({ name, pModel, pExact }: Claim, grade: string, by: string): string {
  const known = [pModel, pExact].filter((p) => p !== null);
  const larger = Math.max(...known);
  const tests = [
    pExact === null ? undefined : `p ${chance(pExact)} by the draw of the layout`,
    pModel === null ? undefined : `p ${chance(pModel)} by ${by}`,
  ].filter((part) => part !== undefined);
  // "Once in 2 trials: a hint" would be read as a slip.
  return larger > 0.1 && Math.min(...known) <= 0.05
    ? `${name}: the two tests disagree (${listed(tests)}): ${grade}.`
    : `${name}: if it did nothing, so large a difference would come up ${oddsWords(larger)} (${listed(tests)}): ${grade}.`;
}

function worthWords({ evidence, claims, worthHavingPercent }: ReasonInput): string[] {
  const leader = claims.find(({ name }) => name === evidence.better[0]?.name);
  if (!leader || leader.low === null || leader.high === null) return [];
  const worth = percent(worthHavingPercent);
  if (leader.low >= worthHavingPercent) {
    return [`All of its interval lies beyond the ${worth} that would be worth having.`];
  }
  if (leader.high < worthHavingPercent) {
    return [`Real or not, it stays short of the ${worth} that would be worth having.`];
  }
  return [`It may or may not reach the ${worth} that would be worth having.`];
}

/**
 * Standard deviation between like plots, percent of the control's mean, in two open field trials:
 * downy mildew of grape (Hughes & Madden 1995, residual 4.0 of 66 %) and powdery mildew of mungbean
 * (Melloy, Del Ponte & Sparks 2021, residual 14.0 of 129.6 grade-days). Computed from their data.
 */
const pastPlotSdPercent = { low: 6, high: 11 };

function unreplicatedReasons({ tippingPoint }: Outcome): string[] {
  const points = (tippingPoint ?? []).map(({ name, plotSd, plotSdPercentOfControl }) => {
    const size = plotSdPercentOfControl === null ? figure(plotSd) : percent(plotSdPercentOfControl);
    return `${name} ${size}`;
  });
  if (points.length === 0) return [];
  return [
    `Tipping points: each difference from the control is ordinary if like plots vary by this much or more (standard deviation, of the control's value): ${points.join(', ')}. Two well-kept open trials showed ${pastPlotSdPercent.low} to ${percent(pastPlotSdPercent.high)}; a home bed is seldom more even.`,
  ];
}

/** What must be read with the verdict; the most misleading first. */
export type CautionInput = {
  readonly trial: Trial;
  readonly outcome: Outcome;
  readonly outcomes: readonly Outcome[];
  readonly control: string;
  readonly controlAssumed: boolean;
  readonly worthAssumed: boolean;
  readonly worthHavingPercent: number;
  readonly stripped: boolean;
  /** Compared on another scale, where spreads are more alike. */
  readonly scaled: boolean;
  /** How closely Dunnett's p of the comparisons that decide could be computed. */
  readonly dunnett: 'exact' | 'lattice' | 'bound' | undefined;
  /** A baseline was asked for and is the same in every plot. */
  readonly baselineFlat: boolean;
};

export function cautions(input: CautionInput): string[] {
  const { trial, outcome } = input;
  return [
    ...strippingCautions(input),
    ...(input.scaled ? [] : spreadCautions(outcome)),
    ...dunnettCautions(input),
    ...(input.baselineFlat
      ? ['The baseline is the same in every plot, so there was nothing to adjust for.']
      : []),
    ...assumed(input),
    ...(trial.design.randomised === undefined && outcome.exact
      ? ['Nobody said whether the places were drawn at random; the tests hold only if they were.']
      : []),
    ...(trial.design.randomised === false
      ? ['The places were chosen, not drawn, so chance can’t be told from choice.']
      : []),
    ...blindCautions(trial),
    ...(trial.treatments.some(({ kind }) => kind === 'product' || kind === 'adjuvant-only')
      ? [
          'Before you spray: the label and local law come first, for this crop, this use, this rate, and the days to wait before re-entry and harvest.',
        ]
      : []),
  ];
}

/** Whether the scorer could have known which plot had what, and at which rounds. */
function blindCautions({ plan, rounds, reveal, departures }: Trial): string[] {
  if (plan?.blind === true) return [];
  const seen = rounds.filter(({ blind }) => blind === false);
  const blind = rounds.filter((round) => round.blind === true);
  if (reveal === undefined || seen.length === 0 || blind.length === 0) {
    return ['The scorer may have known the treatments; a blind score would be worth more.'];
  }
  const days = listed(seen.map(({ id, day, name }) => day ?? name ?? id));
  const rest = blind.length === 1 ? 'The other was' : `The other ${blind.length} were`;
  const which = `figures of ${seen.length === 1 ? 'the round' : 'the rounds'} of ${days}`;
  return [
    departures?.some(({ code }) => code === 'sprayer-scored') === true
      ? `${which.replace(/^f/, 'F')} were entered or changed by somebody who could know the treatments: after the codes were revealed on ${reveal.day}, or after opening the page for spraying. ${rest} scored blind.`
      : `The codes were revealed on ${reveal.day}, and ${which} were entered or changed after that. ${rest} scored blind.`,
  ];
}

const reductionOf = (outcome: Outcome | undefined, name: string, control: string) => {
  const mean = (of: string) => outcome?.treatments.find((row) => row.name === of)?.mean ?? null;
  const [treated, base] = [mean(name), mean(control)];
  return treated === null || base === null || base <= 0 ? null : 100 * (1 - treated / base);
};

/**
 * Where stripping makes a treatment look better than it was: its reduction by the leaves on the
 * plant at the last round is worth having, and by all diseased leaves it is less than half of that
 * and not worth having.
 */
function strippingCautions({ outcomes, control, worthHavingPercent, stripped }: CautionInput) {
  if (!stripped) return [];
  const seen = outcomes.find(({ id }) => id === 'incidence-last');
  const whole = outcomes.find(({ id }) => id === 'diseased-cumulative');
  const names = whole?.treatments.map(({ name }) => name).filter((name) => name !== control) ?? [];
  const misled = names.flatMap((name) => {
    const looks = reductionOf(seen, name, control);
    const is = reductionOf(whole, name, control);
    if (looks === null || is === null) return [];
    if (looks < worthHavingPercent || is >= worthHavingPercent || is > looks / 2) return [];
    const truth = is < 0 ? `${percent(-is)} more` : `${percent(is)} fewer`;
    return [
      `Stripping hides disease here. By the leaves left on the plant at the last round ${name} looks ${percent(looks)} better than ${control}; with the stripped leaves counted it had ${truth} diseased leaves. It was stripped, not cured.`,
    ];
  });
  return misled.length > 0
    ? misled
    : [
        'Diseased leaves were stripped, so the share of leaves diseased on the plant understates the disease; the leaf balance counts the stripped ones.',
      ];
}

/**
 * Ratio of standard deviations that is remarked on. With four plots of each of five treatments the
 * largest is seven times the smallest once in twenty although nothing is amiss (Hartley's largest
 * F ratio, from memory), so less than this is no news.
 */
const farMore = 8;

/** Spread of the plots that differs greatly between treatments: Dunnett's ground is then poor. */
function spreadCautions({ plots, treatments }: Outcome): string[] {
  const sds = treatments.flatMap(({ name }) => {
    const mine = plots.flatMap(({ treatment, value }) =>
      treatment === name && value !== null ? [value] : [],
    );
    if (mine.length < 4) return [];
    const mean = mine.reduce((a, b) => a + b, 0) / mine.length;
    const ss = mine.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    return [{ name, sd: Math.sqrt(ss / (mine.length - 1)) }];
  });
  const ordered = sds.sort((a, b) => a.sd - b.sd);
  const [least, most] = [ordered[0], ordered.at(-1)];
  if (!least || !most || most.sd <= farMore * least.sd) return [];
  return [
    `Plots of ${most.name} differ far more among themselves than plots of ${least.name}; tests that assume one spread (Dunnett, Tukey) are rough here, and the test of the layout is the better guide.`,
  ];
}

function dunnettCautions({ dunnett }: CautionInput): string[] {
  if (dunnett === 'lattice') {
    return [
      "This layout ties the comparisons together in such a way that Dunnett's p is known to about 0.003 only.",
    ];
  }
  return dunnett === 'bound'
    ? [
        "This layout is too entangled for Dunnett's p to be computed closely; the p shown is never too small, but may be too large.",
      ]
    : [];
}

function assumed({ control, controlAssumed, worthAssumed, worthHavingPercent }: CautionInput) {
  return [
    ...(controlAssumed
      ? [`No control was named that stands in a plot; “${control}” was taken.`]
      : []),
    ...(worthAssumed
      ? [
          `No plan said what difference is worth having; ${percent(worthHavingPercent)} less than ${control} was taken.`,
        ]
      : []),
  ];
}

/**
 * Departures from what the trial set out to do: those its ledger knows, and plots lost. A trial that
 * lists lost plots among its departures is taken at its word.
 */
export function departures(trial: Trial): string[] {
  const known = trial.departures ?? [];
  const told = known.map(({ what }) => what);
  if (known.some(({ code }) => code === 'plot-lost')) return told;
  const lost = trial.plots.flatMap(({ id, lost: gone }) =>
    gone === undefined
      ? []
      : [
          `Plot ${id} was lost${gone.day === undefined ? '' : ` on ${gone.day}`}: ${gone.why.replace(/\.$/, '')}.`,
        ],
  );
  return [...told, ...lost];
}
