import {
  blockedRankScores,
  fewPlotsTest,
  fitOrdinalMixed,
  leastSquaresGrades,
  oddsCheck,
  type OrdinalMixedFit,
  type PlotDegrees,
  plainLikelihoodRatio,
  plotWidening,
  shiftsVersusControl,
  tQuantile,
} from '@fairbed/stats';
import { plotValues, type Trial } from '@fairbed/trial';
import type { MethodResult, Ordinal, RatioToControl } from './judgement';
import type { MethodInput } from './method-input';
import { fixedEffects, fixedOf, type Modelled, modelled, sds } from './modelled';
import {
  blockOf,
  byLayout,
  placesOf,
  plotDegrees,
  splitPlotWhy,
  testByPlots,
} from './plants-to-plots';
import { ratioOf, ratioSays, versusControlOf } from './ratio-result';
import { type ScoreRows, scoreRows } from './score-rows';

/** Grades of one round with their treatments and groupings, and the scale they are on. */
type Graded = {
  readonly rows: ScoreRows;
  readonly classes: readonly number[];
  /** Place of each grade among the classes. */
  readonly grades: readonly number[];
  /** 1 where later classes are worse, -1 where they are better. */
  readonly worse: 1 | -1;
};

function gradedOf(trial: Trial, round: string): Graded {
  const { classes = [], healthy } = trial.gradeScale ?? {};
  const rows = scoreRows(trial, round, ({ grade }) => grade !== undefined, false);
  return {
    rows,
    classes,
    grades: rows.scores.map(({ grade }) => classes.indexOf(grade ?? Number.NaN)),
    worse: healthy !== undefined && healthy === classes.at(-1) ? -1 : 1,
  };
}

const fitGrades = ({ rows, classes, grades }: Graded, control: string): OrdinalMixedFit =>
  fitOrdinalMixed({
    grades,
    classes: classes.length,
    fixed: fixedOf(rows, control),
    random: rows.groups,
  });

function fitNotes(fit: OrdinalMixedFit): string[] {
  const notes = fit.how.converged ? [] : ['The model of grades did not settle; read it with care.'];
  if (fit.penalised) {
    notes.push(
      'A treatment had all its grades at one end; a mild penalty keeps the model of grades finite.',
    );
  }
  return notes;
}

/** Shares of the grades by treatment, limits on the logit, widened as the comparisons are. */
function sharesOf(
  fit: OrdinalMixedFit,
  { classes }: Graded,
  degrees: PlotDegrees | undefined,
): Pick<Ordinal, 'treatments'> {
  const reach = degrees && plotWidening(fit, degrees) * tQuantile(0.975, degrees.error);
  const levels = leastSquaresGrades(fit, reach);
  if (!levels) return {};
  const gradeAt = (k: number): number => classes[k] ?? k;
  return {
    treatments: levels.map(({ level, probabilities }) => ({
      name: level,
      meanGrade: probabilities.reduce((sum, p) => sum + gradeAt(p.grade) * p.estimate, 0),
      shares: probabilities.map(({ grade, estimate, inside }) => ({
        grade: gradeAt(grade),
        share: estimate,
        low: inside.low,
        high: inside.high,
      })),
    })),
  };
}

function comparisonsOf(
  fit: OrdinalMixedFit,
  { worse }: Graded,
  degrees: PlotDegrees | undefined,
  stepDown: (name: string) => number | null,
): RatioToControl[] {
  const shifts = degrees && shiftsVersusControl(fit, degrees)?.shifts;
  return fit.fixed.map(({ name, estimate }) => {
    const shift = shifts?.find((one) => one.name === name);
    if (!shift) {
      const ratio = Math.exp(worse * estimate);
      return { name, ratio, low: null, high: null, p: null, pExact: stepDown(name) };
    }
    const [low, high] = worse === 1 ? [shift.low, shift.high] : [-shift.high, -shift.low];
    return ratioOf({ estimate: worse * estimate, low, high, p: shift.p }, stepDown(name), name);
  });
}

/** The check of proportional odds; a sentence where treatments do more than shift. */
function oddsOf({ rows, classes, grades }: Graded) {
  const check = oddsCheck({
    grades,
    classes: classes.length,
    group: rows.treatment.codes,
    groups: rows.treatment.levels.length,
  });
  const notes =
    check && check.p < 0.01
      ? [
          'Treatments do more to the grades than shift them all one way: read the shares of the grades, not the odds alone.',
        ]
      : [];
  return { part: check ? { proportionalOdds: check } : {}, notes };
}

/**
 * Grades at one round: cumulative logit mixed model, logit P(grade <= k) = threshold - effect,
 * random block and plot (stats, `fitOrdinalMixed`, Laplace). Grades keep their written order.
 * Treatments against the control as odds of a worse grade, with p and limits for all of them
 * together on the plots' degrees of freedom (`shiftsVersusControl`); all treatments by
 * `fewPlotsTest`; and the layout's own test of the ranks of the grades within blocks, averaged by
 * plot (`blockedRankScores`).
 */
export function ordinalOf(
  trial: Trial,
  round: string,
  control: string,
  ground: Pick<MethodInput, 'table' | 'layout' | 'seed'>,
): Modelled<Ordinal> {
  const graded = gradedOf(trial, round);
  const { rows, grades } = graded;
  return modelled(() => {
    const fit = fitGrades(graded, control);
    const plots = placesOf(
      ground.table,
      rows.scores.map(({ plot }) => plot),
    );
    const degrees = plotDegrees(ground, plots);
    const without = degrees && plainLikelihoodRatio(fit)?.logLikWithout;
    const joint =
      degrees && without !== undefined ? fewPlotsTest(fit, without, degrees) : undefined;
    const scores = blockedRankScores(grades, blockOf(ground, plots));
    const layout = byLayout(testByPlots(ground, scores, plots, 'mean'));
    const odds = oddsOf(graded);
    const { f, df1, df2, p } = joint ?? {};
    return {
      value: {
        logLik: fit.logLik,
        thresholds: fit.thresholds.map(({ estimate }) => estimate),
        fixed: fixedEffects(fit.fixed),
        sd: sds(fit.groups),
        ...sharesOf(fit, graded, degrees),
        versusControl: comparisonsOf(fit, graded, degrees, layout.stepDown),
        ...(joint ? { joint: { f: f ?? 0, df1: df1 ?? 0, df2: df2 ?? 0, p: p ?? 1 } } : {}),
        ...(layout.result ? { exact: layout.result } : {}),
        decidedBy: layout.decisive ? 'layout' : 'model',
        ...odds.part,
      },
      notes: [...fitNotes(fit), ...layout.notes, ...odds.notes],
    };
  });
}

/**
 * Grades as grounds for an answer: p by the ranks of the grades over the layouts that could have
 * been drawn, step-down over the treatments; by the model where the layout can't go below 0.05.
 * Odds and limits are the model's.
 */
export function gradesMethod(input: MethodInput): Modelled<MethodResult> {
  if (input.layout.kind === 'split-plot') return { known: false, why: splitPlotWhy };
  const { tally, control } = input;
  const round = input.round ?? plotValues(tally, 'grade-index-last').last?.id;
  if (round === undefined) return { known: false, why: 'No round of this trial has grades.' };
  const found = ordinalOf(tally.trial, round, control, input);
  if (!found.known) return found;
  const { versusControl = [], exact, joint, decidedBy } = found.value;
  const byDraw = decidedBy === 'layout';
  const pOf = (one: RatioToControl): number | null => (byDraw ? one.pExact : one.p);
  const p = (byDraw ? exact?.p : joint?.p) ?? null;
  const says = ratioSays(versusControl, {
    control,
    p,
    pOf,
    lower: (names, than) => `${names} had milder grades than ${than}`,
    higher: (names, than) => `${names} had worse grades than ${than}`,
    ratioIs: 'odds of a worse grade, times the control’s,',
    nothing: (than) => `No treatment’s grades could be told from those of ${than}`,
  });
  return {
    known: true,
    value: {
      method: 'grades',
      title: 'Grades, in their order',
      says,
      measure: 'odds ratio of a worse grade',
      none: 1,
      p,
      versusControl: versusControlOf(versusControl, true),
      notes: found.notes,
    },
    notes: found.notes,
  };
}
