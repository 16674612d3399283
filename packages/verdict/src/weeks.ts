import {
  crossFactors,
  type Estimate,
  type Factor,
  fitReml,
  type Precision,
  precisionOf,
  remlContrasts,
  type RemlFit,
  type RemlInput,
  type Term,
  termTest,
  type Weights,
} from '@fairbed/stats';
import { layoutTerms, treatmentFactor } from './fit';
import type { ControlComparison, MethodResult } from './judgement';
import type { MethodInput } from './method-input';
import type { Modelled } from './modelled';
import { chance, figure, listed } from './numbers';
import type { OverTime, OverTimeTest } from './over-time';
import { type WeekRows, weekRowsOf } from './weeks-rows';

/** From this ratio of the widest round to the narrowest on, each round has a spread of its own. */
const UNEVEN = 2;

/** With two rounds, what lasts in a plot and what fades can't be told apart. */
const ROUNDS_FOR_FADING = 3;

const timeTerm = 'time';
const cellTerm = 'treatment x time';

type Terms = { readonly all: readonly Term[]; readonly trt: Factor; readonly time: Factor };

function termsOf({ table, layout }: MethodInput, { rows, rounds }: WeekRows): Terms {
  const kept = rows.map(({ plot }) => plot);
  const response = { table, kept, y: new Float64Array(0), baseline: undefined };
  const trt = treatmentFactor(response);
  const time: Factor = {
    kind: 'factor',
    name: timeTerm,
    levels: rounds.map(({ day }) => `${day}`),
    codes: rows.map(({ round }) => round),
  };
  const cells = crossFactors(cellTerm, trt, time);
  return { all: [...layoutTerms(response, layout.latin), trt, time, cells], trt, time };
}

/** Spread of each round beside a middling one; 1 for all where rounds scatter about alike. */
function spreadsOf({ rounds }: WeekRows): number[] {
  const sds = rounds.map(({ sd }) => sd);
  if (Math.max(...sds) <= UNEVEN * Math.min(...sds)) return sds.map(() => 1);
  const middling = Math.sqrt(sds.reduce((sum, sd) => sum + sd * sd, 0) / sds.length);
  return sds.map((sd) => sd / middling);
}

function inputFor(weeks: WeekRows, terms: Terms, spreads: readonly number[]): RemlInput {
  const { rows, rounds } = weeks;
  const plots = rows.map(({ plot }) => plot);
  const fades = rounds.length >= ROUNDS_FOR_FADING;
  const times = rows.map(({ round }) => rounds[round]?.day ?? 0);
  return {
    y: rows.map(({ value }) => value),
    terms: terms.all,
    random: [{ name: 'plot', codes: plots }],
    serial: fades ? { subject: plots, times } : undefined,
    spread: rows.map(({ round }) => spreads[round] ?? 1),
  };
}

/** All weight on one level, or spread evenly over all. */
const only = (levels: number, level: number, weight = 1): number[] =>
  Array.from({ length: levels }, (_, i) => (i === level ? weight : 0));
const evenly = (levels: number): number[] => Array.from({ length: levels }, () => 1 / levels);

/** Weights of treatment `t` at the rounds `at` (each counting alike), less those of `less`. */
function weightsFor(terms: Terms, t: number, at: readonly number[], less?: number): Weights {
  const { trt, time } = terms;
  const rounds = time.levels.length;
  const mean = less === undefined;
  const share = 1 / at.length;
  const cells = new Array<number>(trt.levels.length * rounds).fill(0);
  const byTime = new Array<number>(rounds).fill(0);
  for (const r of at) {
    cells[t * rounds + r] = share;
    if (less !== undefined) cells[less * rounds + r] = -share;
    else byTime[r] = share;
  }
  const layout = terms.all.flatMap((term) =>
    mean && term.kind === 'factor' && ![trt.name, timeTerm, cellTerm].includes(term.name)
      ? [[term.name, evenly(term.levels.length)] as const]
      : [],
  );
  const own = only(trt.levels.length, t);
  if (less !== undefined) own[less] = -1;
  return {
    intercept: mean ? 1 : 0,
    terms: {
      ...Object.fromEntries(layout),
      [trt.name]: own,
      [timeTerm]: byTime,
      [cellTerm]: cells,
    },
  };
}

const orNull = (value: number | undefined): number | null => value ?? null;

type Against = { readonly precision: Precision; readonly terms: Terms; readonly control: number };

function versus(
  { precision, terms, control }: Against,
  at: readonly number[],
): ControlComparison[] {
  const { levels } = terms.trt;
  const others = levels.flatMap((_, t) => (t === control ? [] : [t]));
  const found = remlContrasts(
    precision,
    others.map((t) => weightsFor(terms, t, at, control)),
  );
  return others.map((t, i) => {
    const { estimate, se, low, high, p } = found[i] as Estimate;
    return {
      name: levels[t] ?? '',
      difference: orNull(estimate),
      se: orNull(se),
      low: orNull(low),
      high: orNull(high),
      p: orNull(p),
    };
  });
}

function treatmentsOf({ precision, terms }: Against, weeks: WeekRows): OverTime['treatments'] {
  const every = weeks.rounds.map((_, r) => r);
  const alone = (t: number, at: readonly number[]): Estimate =>
    remlContrasts(precision, [weightsFor(terms, t, at)])[0] as Estimate;
  return terms.trt.levels.map((name, t) => {
    const whole = alone(t, every);
    return {
      name,
      mean: orNull(whole.estimate),
      se: orNull(whole.se),
      low: orNull(whole.low),
      high: orNull(whole.high),
      course: weeks.rounds.map(({ day }, r) => {
        const { estimate, low, high } = alone(t, [r]);
        return { day, mean: orNull(estimate), low: orNull(low), high: orNull(high) };
      }),
    };
  });
}

function testOf(precision: Precision, name: string): OverTimeTest | null {
  const test = termTest(precision, name);
  return test ? { f: test.f, df: test.df, errorDf: test.denDf, p: test.p } : null;
}

const sdsOf = (fit: RemlFit): OverTime['sd'] =>
  Object.fromEntries([
    ...fit.components.map(({ name, sd }) => [name, sd ?? null] as const),
    ['residual', fit.residual.sd] as const,
  ]);

function whyNot({ table, layout }: MethodInput, { rounds }: WeekRows): string | undefined {
  if (layout.kind === 'split-plot') {
    return 'In a split plot the rounds are not put in one model: whole plots and plots have different errors. The plots decide.';
  }
  const counts = table.treatment.levels.map(
    (_, code) => table.treatment.codes.filter((c) => c === code).length,
  );
  if (Math.max(0, ...counts) < 2)
    return 'With one plot of each treatment the rounds prove nothing.';
  return rounds.length < 2
    ? 'A model of all rounds needs two rounds or more at which plots differ.'
    : undefined;
}

/**
 * All rounds of all plots in one linear mixed model by REML: layout, treatment, time and treatment x
 * time fixed (time as a factor, no shape assumed); plots random, so that what lasts in a plot is no
 * replicate; what changes in a plot from round to round fades, rho^gap. Degrees of freedom by
 * Satterthwaite. Where rounds scatter unlike, each has its own spread, taken as known.
 */
export function overTimeOf(input: MethodInput): Modelled<OverTime> {
  const weeks = weekRowsOf(input);
  const why = whyNot(input, weeks);
  if (why !== undefined) return { known: false, why };
  const terms = termsOf(input, weeks);
  const spreads = spreadsOf(weeks);
  const fit = fitReml(inputFor(weeks, terms, spreads));
  if (!fit.known) {
    return { known: false, why: 'Too little varies between plots for a model of all rounds.' };
  }
  const precision = precisionOf(fit, 'satterthwaite');
  const against = { precision, terms, control: input.table.control };
  const every = weeks.rounds.map((_, r) => r);
  const notes = [...weeks.notes];
  if (spreads.some((spread) => spread !== 1)) {
    notes.push(
      'Plots scatter more than twice as widely at some rounds as at others; the model of all rounds gives each round its own spread.',
    );
  }
  const value: OverTime = {
    measure: weeks.title,
    unit: weeks.unit,
    method: 'REML',
    degreesOfFreedom: 'Satterthwaite',
    rounds: weeks.rounds.map(({ day, date }, r) => ({
      day,
      ...(date === undefined ? {} : { date }),
      spread: spreads[r] ?? 1,
    })),
    sd: sdsOf(fit),
    fading: fit.serial ? { rho: fit.serial.rho, every: fit.serial.unit } : null,
    tests: {
      treatment: testOf(precision, terms.trt.name),
      time: testOf(precision, timeTerm),
      treatmentByTime: testOf(precision, cellTerm),
    },
    treatments: treatmentsOf(against, weeks),
    versusControl: versus(against, every),
    atLastRound: versus(against, every.slice(-1)),
  };
  return { known: true, value, notes };
}

/** Lowest p at which a difference is told as one. */
const TOLD = 0.05;

function sentenceOf(over: OverTime, control: string, lower: boolean): string {
  const rounds = `Over ${over.rounds.length} rounds`;
  const unit = over.unit === '' ? '' : over.unit === '%' ? ' percentage points' : ` ${over.unit}`;
  const told = over.versusControl.flatMap(({ name, difference, low, high, p }) => {
    if (difference === null || low === null || high === null || p === null || p > TOLD) return [];
    const side = difference < 0 ? 'below' : 'above';
    const [near, far] = [Math.abs(low), Math.abs(high)].sort((a, b) => a - b);
    const range = `${figure(near ?? 0)} to ${figure(far ?? 0)}`;
    return [`${name} lay ${figure(Math.abs(difference))}${unit} ${side} ${control} (${range})`];
  });
  const parting = over.tests.treatmentByTime?.p ?? 1;
  const course =
    parting <= TOLD
      ? ` The treatments’ courses are not alike (p ${chance(parting)}): the difference changed from round to round.`
      : '';
  if (told.length > 0) return `${rounds}, ${listed(told)}.${course}`;
  return `${rounds} taken together, no treatment was shown to lie ${lower ? 'below' : 'above'} ${control}.${course}`;
}

/** What all rounds together say of the treatments, as grounds of their own. */
export function weeksMethod(input: MethodInput): Modelled<MethodResult> {
  const found = overTimeOf(input);
  if (!found.known) return found;
  const over = found.value;
  const lower = (input.outcome?.better ?? 'lower') === 'lower';
  const value: MethodResult = {
    method: 'weeks',
    title: `${over.measure}, all rounds together`,
    says: sentenceOf(over, input.control, lower),
    measure: over.unit === '%' ? 'percentage points' : over.unit,
    none: 0,
    p: over.tests.treatment?.p ?? null,
    versusControl: over.versusControl.map(({ name, difference, low, high, p }) => ({
      name,
      estimate: difference,
      low,
      high,
      p,
      better: difference === null || difference === 0 ? null : difference < 0 === lower,
    })),
    notes: found.notes,
  };
  return { known: true, value, notes: found.notes };
}
