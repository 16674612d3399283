import {
  asShifts,
  type BinomialMixedFit,
  bootstrapTreatment,
  countsVersusControl,
  countsWald,
  createRandom,
  createTreatmentTester,
  fewPlotsTest,
  fitBetaBinomial,
  fitBinomialMixed,
  leastSquaresProbabilities,
  type PlotDegrees,
  plainLikelihoodRatio,
  plotWidening,
  populationProbabilities,
} from '@fairbed/stats';
import { plotValues, type Score, type Trial } from '@fairbed/trial';
import type { Counts, MethodResult } from './judgement';
import type { MethodInput } from './method-input';
import { fixedEffects, fixedOf, type Modelled, modelled, sds } from './modelled';
import { placesOf, plotDegrees } from './plants-to-plots';
import { ratioOf, ratioSays, versusControlOf } from './ratio-result';
import { type ScoreRows, scoreRows } from './score-rows';

/** What the counts are weighed on, besides themselves. */
type Ground = Pick<MethodInput, 'table' | 'layout' | 'seed'> & {
  /** Made-up trials of the bootstrap; 0 for none. By default as many as take well under 0.1 s. */
  readonly draws?: number | undefined;
};

type Fitted = {
  readonly rows: ScoreRows;
  readonly counts: { readonly successes: number[]; readonly trials: number[] };
  readonly control: string;
  readonly fit: BinomialMixedFit;
  readonly degrees: PlotDegrees | undefined;
};

const hasCounts = ({ standing, diseased }: Score): boolean =>
  standing !== undefined && diseased !== undefined && standing > 0 && diseased <= standing;

const ALONE =
  'p alone takes plots for very many and is too small with few; pCorrected is the one to go by';

function fitCounts(trial: Trial, round: string, control: string, ground: Ground): Fitted {
  const rows = scoreRows(trial, round, hasCounts, true);
  const counts = {
    successes: rows.scores.map(({ diseased }) => diseased ?? 0),
    trials: rows.scores.map(({ standing }) => standing ?? 0),
  };
  const fit = fitBinomialMixed({
    ...counts,
    fixed: fixedOf(rows, control),
    random: rows.groups,
  });
  const plots = placesOf(
    ground.table,
    rows.scores.map(({ plot }) => plot),
  );
  return { rows, counts, control, fit, degrees: plotDegrees(ground, plots) };
}

function notesOf({ fit }: Fitted): string[] {
  const notes: string[] = [];
  if (fit.penalised) {
    notes.push(
      'A treatment had all or none of its leaves diseased; a mild penalty keeps its log-odds finite in the model of counts.',
    );
  }
  if (!fit.how.converged) notes.push('The model of counts did not settle; read it with care.');
  if (fit.how.runaway.length > 0) notes.push(RUNAWAY);
  return notes;
}

const RUNAWAY =
  'Whole plots were all diseased or all healthy, so the model of counts can’t measure how plots differ.';

/** Rows times draws of the bootstrap, so that it takes some 50 ms. */
const BOOTSTRAP_ROWS = 8000;

function bootstrapped(fitted: Fitted, { seed, draws }: Ground) {
  const { rows, counts, control, degrees } = fitted;
  const some = rows.scores.length * 399 <= BOOTSTRAP_ROWS ? 399 : 99;
  const asked = draws ?? some;
  if (asked === 0 || !degrees) return undefined;
  const { factors } = fixedOf(rows, control);
  const layout = { rows: rows.scores.length, factors, random: rows.groups };
  const tester = createTreatmentTester(layout, degrees);
  return tester && bootstrapTreatment(tester, counts, asked, createRandom(seed));
}

function likelihoodRatioOf(fitted: Fitted, ground: Ground): Pick<Counts, 'likelihoodRatio'> {
  const { fit, degrees } = fitted;
  const ratio = plainLikelihoodRatio(fit);
  if (!ratio) return {};
  const shifts = asShifts(fit);
  const corrected =
    shifts && degrees
      ? fewPlotsTest({ ...shifts, logLik: fit.logLik }, ratio.logLikWithout, degrees)
      : undefined;
  const bootstrap = fit.how.converged ? bootstrapped(fitted, ground) : undefined;
  return {
    likelihoodRatio: {
      statistic: ratio.statistic,
      df: ratio.df,
      p: ratio.plainP,
      pCorrected: corrected?.p ?? null,
      pBootstrap: bootstrap?.p ?? null,
      draws: bootstrap?.draws ?? 0,
      caution: ALONE,
    },
  };
}

function treatmentsOf({ fit, degrees }: Fitted): Counts['treatments'] {
  const shifts = asShifts(fit);
  const careful =
    shifts && degrees ? { df: degrees.error, widened: plotWidening(shifts, degrees) } : undefined;
  const few = careful && leastSquaresProbabilities(fit, careful);
  const population = careful && populationProbabilities(fit, careful);
  return (leastSquaresProbabilities(fit) ?? []).map(({ level, probability, low, high }, i) => {
    const narrow = few?.[i];
    const whole = population?.[i];
    return {
      name: level,
      probability,
      low,
      high,
      ...(narrow ? { fewPlots: { low: narrow.low, high: narrow.high } } : {}),
      ...(whole
        ? { population: { probability: whole.probability, low: whole.low, high: whole.high } }
        : {}),
    };
  });
}

function comparisonsOf({ fit, degrees }: Fitted): Pick<Counts, 'versusControl' | 'wald'> {
  if (!degrees) return {};
  const found = countsVersusControl(fit, degrees);
  const wald = countsWald(fit, degrees);
  return {
    ...(wald ? { wald } : {}),
    ...(found
      ? {
          versusControl: found.comparisons.map((one) => ({
            ...ratioOf(one, null, one.name),
            points: {
              difference: 100 * one.difference,
              low: 100 * one.differenceLow,
              high: 100 * one.differenceHigh,
            },
          })),
        }
      : {}),
  };
}

function penaltyOf({ fit, rows }: Fitted): Pick<Counts, 'penalty'> {
  if (!fit.penalised) return {};
  const { code, weight, rows: off } = fit.penalised;
  const codes = new Set(off.map((row) => rows.treatment.codes[row]));
  const treatments = rows.treatment.levels.filter((_, i) => codes.has(i));
  return { penalty: { code, weight, treatments } };
}

/**
 * Diseased leaves of leaves standing at one round: binomial mixed model with random block, plot
 * and plant (stats, `fitBinomialMixed`, Laplace), probabilities of a typical plot and of all plots,
 * treatments against `control` in odds and percentage points (p and limits for all of them
 * together, on the plots' degrees of freedom), all treatments by the likelihood ratio held against F
 * and against a bootstrap, and a beta-binomial regression of the same rows beside it.
 */
export function countsOf(
  trial: Trial,
  round: string,
  control: string,
  ground: Ground,
): Modelled<Counts> {
  return modelled(() => {
    const fitted = fitCounts(trial, round, control, ground);
    const { fit, rows } = fitted;
    const value: Counts = {
      model: 'binomial-mixed',
      logLik: fit.logLik,
      fixed: fixedEffects(fit.fixed),
      sd: sds(fit.groups),
      treatments: treatmentsOf(fitted),
      ...likelihoodRatioOf(fitted, ground),
      ...comparisonsOf(fitted),
      ...(fit.overdispersion ? { overdispersion: fit.overdispersion } : {}),
      ...penaltyOf(fitted),
      ...betaBinomialOf(rows, control),
    };
    return { value, notes: notesOf(fitted) };
  });
}

/**
 * Beta-binomial regression of the same rows: its precision takes the place of the finest grouping
 * (the one with a level for every row), the coarser groupings stay random.
 */
function betaBinomialOf(rows: ScoreRows, control: string): Pick<Counts, 'betaBinomial'> {
  const fit = modelled(() => ({
    notes: [],
    value: fitBetaBinomial({
      successes: rows.scores.map(({ diseased }) => diseased ?? 0),
      trials: rows.scores.map(({ standing }) => standing ?? 0),
      fixed: fixedOf(rows, control),
      random: rows.groups.filter(({ levels }) => levels.length < rows.scores.length),
    }),
  }));
  if (!fit.known || fit.value.precision === undefined) return {};
  const { logLik, fixed, precision } = fit.value;
  return { betaBinomial: { logLik, fixed: fixedEffects(fixed), precision } };
}

/**
 * Leaves as grounds for an answer: odds of a diseased leaf against the control's by the binomial
 * mixed model, p of all treatments by its likelihood ratio held against F with the plots' degrees of
 * freedom, never against chi-square.
 */
export function leavesMethod(input: MethodInput): Modelled<MethodResult> {
  const { tally, control } = input;
  const round = input.round ?? plotValues(tally, 'incidence-last').last?.id;
  if (round === undefined) {
    return { known: false, why: 'No round of this trial has leaves counted in all plots.' };
  }
  const found = modelled(() => {
    const fitted = fitCounts(tally.trial, round, control, input);
    return { value: fitted, notes: notesOf(fitted) };
  });
  if (!found.known) return found;
  const { fit, degrees } = found.value;
  if (!degrees) return { known: false, why: 'Too few plots to tell treatments from plots.' };
  if (fit.how.runaway.length > 0) return { known: false, why: RUNAWAY };
  if (!fit.how.converged) return { known: false, why: 'The model of counts did not settle.' };
  const ratio = likelihoodRatioOf(found.value, { ...input, draws: 0 }).likelihoodRatio;
  const { versusControl = [] } = comparisonsOf(found.value);
  const p = ratio?.pCorrected ?? null;
  const says = ratioSays(versusControl, {
    control,
    p,
    pOf: (one) => one.p,
    lower: (names, than) => `${names} had fewer diseased leaves than ${than}`,
    higher: (names, than) => `${names} had more diseased leaves than ${than}`,
    ratioIs: 'odds of a diseased leaf, times the control’s,',
    nothing: (than) => `No treatment’s share of diseased leaves could be told from that of ${than}`,
  });
  return {
    known: true,
    value: {
      method: 'leaves',
      title: 'Leaves, counted',
      says,
      measure: 'odds ratio of a diseased leaf',
      none: 1,
      p,
      versusControl: versusControlOf(versusControl, true),
      notes: found.notes,
    },
    notes: found.notes,
  };
}
