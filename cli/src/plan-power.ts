import { problemLine } from '@fairbed/field';
import { isOutcomeId, type LayoutRequest } from '@fairbed/trial';
import {
  falseCallWords,
  type GroundName,
  largerTrials,
  layoutWords,
  powerAdvice,
  powerAssumptions,
  powerFault,
  type PowerFigures,
  type PowerQuestion,
  powerSentence,
  powerStudy,
  unevennessOf,
  usualExpected,
  usualTrials,
} from '@fairbed/verdict';
import { textTable, wrapped } from './text-table';

export type PowerMeasure = PowerQuestion['expected']['kind'];

/** The flags of `fairbed plan` that the chance of a call rests on. */
export type PowerFlags = {
  readonly plants: number;
  readonly rounds?: number;
  readonly difference?: number;
  readonly ground?: string;
  readonly spread?: readonly number[];
  readonly expect?: number;
  readonly leaves?: number;
  readonly measure?: PowerMeasure;
  readonly outcome?: string;
  readonly simulations?: number;
};

type Answered = { readonly question: PowerQuestion; readonly figures: PowerFigures };

/** The chance of the trial as planned first, then of larger ones; or why there is none. */
export type PlannedPower =
  | { readonly known: true; readonly answers: readonly Answered[]; readonly assumed: boolean }
  | { readonly known: false; readonly why: string | undefined };

/** A halving, where nobody says what difference would be worth having. */
const usualDifference = 50;
const usualMean = 100;
const usualClasses = 6;
const everyDays = 7;
/** Trials from one word of progress to the next. */
const part = 200;
const mostSimulations = 1_000_000;

function expectedOf({ measure = 'leaves', expect, leaves }: PowerFlags): PowerQuestion['expected'] {
  const percent = expect ?? usualExpected.percent;
  switch (measure) {
    case 'leaves':
      return { kind: 'leaves', percent, leaves: leaves ?? usualExpected.leaves };
    case 'severity':
      return { kind: 'severity', percent };
    case 'grades':
      return { kind: 'grades', percent, classes: leaves ?? usualClasses };
    case 'value':
      return { kind: 'value', mean: expect ?? usualMean, better: 'lower' };
  }
}

/** The question that the flags spell out, or what is wrong with them. */
function questionOf(
  request: LayoutRequest,
  flags: PowerFlags,
  seed: number,
): PowerQuestion | string {
  const { outcome, spread, ground = 'usual', difference = usualDifference } = flags;
  if (spread !== undefined && spread.length !== 3) {
    return '--spread takes three numbers: blocks, plots and plants.';
  }
  if (outcome !== undefined && !isOutcomeId(outcome)) {
    return `--outcome ${outcome} is not an outcome; docs/measures.md lists them.`;
  }
  const expected = expectedOf(flags);
  const [block, plot, plant] = spread ?? [];
  const named = unevennessOf(ground as GroundName, expected.kind);
  return {
    request,
    plantsPerPlot: flags.plants,
    rounds: flags.rounds ?? 1,
    everyDays,
    expected,
    unevenness: {
      block: block ?? named.block,
      plot: plot ?? named.plot,
      plant: plant ?? named.plant,
    },
    differencePercent: difference,
    ...(outcome === undefined ? {} : { outcome }),
    seed,
  };
}

/** Simulates in parts, with a word after each. */
function simulated(
  question: PowerQuestion,
  simulations: number,
  say: (text: string) => void,
): PowerFigures | string {
  const begun = powerStudy(question);
  if (!begun.ok) return problemLine(begun.problem);
  for (let done = 0; done < simulations; done += part) {
    begun.study.run(Math.min(part, simulations - done));
    const now = Math.min(simulations, done + part);
    say(`\r${layoutWords(question)}: ${now} of ${simulations} trials`);
  }
  say('\n');
  return begun.study.figures() ?? '';
}

const isSimulations = (n: number): boolean => Number.isInteger(n) && n >= 0 && n <= mostSimulations;

/**
 * The chance that the planned trial, and some larger ones, call a treatment that differs as
 * `--difference` says. A text where the flags are at fault.
 */
export function powerOf(
  request: LayoutRequest,
  flags: PowerFlags,
  seed: number,
  say: (text: string) => void,
): PlannedPower | string {
  const { simulations } = flags;
  if (simulations !== undefined && !isSimulations(simulations)) {
    return `--simulations must be a whole number from 0 to ${mostSimulations}.`;
  }
  const question = questionOf(request, flags, seed);
  if (typeof question === 'string') return question;
  if (simulations === 0) return { known: false, why: undefined };
  const wrong = powerFault(question);
  if (wrong !== undefined) return problemLine(wrong);
  const answers: Answered[] = [];
  for (const one of largerTrials(question)) {
    const trials = usualTrials(one, one !== question);
    // What is asked for is the plan's own number; larger trials keep their share of it.
    const share = simulations === undefined ? 1 : simulations / usualTrials(one, false);
    const figures = simulated(one, Math.ceil(share * trials), say);
    // Not a fault of the flags: such a trial can be drawn, but nothing could be called of it.
    if (typeof figures === 'string') return { known: false, why: figures };
    answers.push({ question: one, figures });
  }
  return { known: true, answers, assumed: flags.difference === undefined };
}

const figuresOf = ({ figures: { called, firm, falseCall, simulations, outcome } }: Answered) => ({
  chance: called.share,
  low: called.low,
  high: called.high,
  simulations,
  firm: firm.share,
  falseCall: { share: falseCall.share, low: falseCall.low, high: falseCall.high },
  outcome,
});

/** The keys of the JSON document. */
export function powerDocument(power: PlannedPower) {
  if (!power.known) return { power: null, ...(power.why ? { powerWhy: power.why } : {}) };
  const [planned, ...larger] = power.answers;
  if (planned === undefined) return { power: null };
  const { question } = planned;
  return {
    power: {
      ...figuresOf(planned),
      differencePercent: question.differencePercent,
      says: powerSentence(question, planned.figures),
      expected: question.expected,
      unevenness: question.unevenness,
      seed: question.seed,
      larger: larger.map((one) => ({
        blocks: one.question.request.blocks,
        plants: one.question.plantsPerPlot,
        ...figuresOf(one),
      })),
    },
  };
}

const inHundred = (share: number): string => `${Math.round(100 * share)}`;

function rowOf({ question, figures: { called } }: Answered): string[] {
  const { request, plantsPerPlot } = question;
  return [
    `${request.blocks}`,
    `${plantsPerPlot}`,
    inHundred(called.share),
    `${inHundred(called.low)} to ${inHundred(called.high)}`,
  ];
}

/** The chance for a grower: sentences, and a table of larger trials. */
export function powerLines(power: PlannedPower): {
  readonly sentences: readonly string[];
  readonly table: readonly string[];
} {
  if (!power.known) {
    return {
      sentences: power.why === undefined ? [] : [`No chance is given: ${power.why}`],
      table: [],
    };
  }
  const [planned] = power.answers;
  if (planned === undefined) return { sentences: [], table: [] };
  const { question, figures } = planned;
  const advice = powerAdvice(figures);
  const heading = question.request.kind === 'completely-randomised' ? 'plots of each' : 'blocks';
  return {
    sentences: [
      ...(power.assumed ? ['No difference was named; a halving was taken.'] : []),
      powerSentence(question, figures),
      ...(advice === undefined ? [] : [advice]),
      falseCallWords(figures),
      `Assumed: ${powerAssumptions(question).join(' ')}`,
    ],
    table: [
      '',
      ...wrapped('What would help: trials out of 100 that would call it.', 88),
      ...textTable([heading, 'plants a plot', 'called', '95 % limits'], power.answers.map(rowOf)),
    ],
  };
}
