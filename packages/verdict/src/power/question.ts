import type { Problem } from '@fairbed/field';
import {
  type Expected,
  type LayoutRequest,
  layoutFacts,
  type OutcomeId,
  type Unevenness,
} from '@fairbed/trial';

/** What is asked of a planned trial: would it show this difference, on ground like this? */
export type PowerQuestion = {
  readonly request: LayoutRequest;
  readonly plantsPerPlot: number;
  readonly rounds: number;
  readonly everyDays: number;
  /** What is measured, and how much of it the control is expected to have. */
  readonly expected: Expected;
  readonly unevenness: Unevenness;
  /**
   * How much one treatment changes the control's mean for the better, percent; the others change
   * nothing. 0: none does anything.
   */
  readonly differencePercent: number;
  /** Outcome to judge by; what such a trial would be judged by when left out. */
  readonly outcome?: OutcomeId;
  readonly seed: number;
};

/** A kind of ground, named. */
export type GroundName = 'even' | 'usual' | 'patchy';

type Grounds = Readonly<Record<GroundName, Unevenness>>;

/**
 * Standard deviations in log-odds. Even: downy mildew of grape (Hughes & Madden 1995; glmer gives
 * blocks 0, plots 0.12, vines 0.25). Patchy: late blight of potato in Ireland, 2017 (MIT, Mladen
 * Cucak; by lmer on the log-odds of plots that were neither clean nor gone, 27 August to 18
 * September: blocks 0, plots 0.86 to 0.93). Usual, and the plants and blocks of patchy ground, are
 * our guess between and beside the two.
 */
const shareGrounds: Grounds = {
  even: { block: 0.1, plot: 0.15, plant: 0.25 },
  usual: { block: 0.4, plot: 0.35, plant: 0.4 },
  patchy: { block: 0.4, plot: 0.9, plant: 0.5 },
};

/**
 * Standard deviations in percent of the control's mean. Plots of even ground: the same grape trial (6
 * %); of usual ground: powdery mildew of mungbean (Melloy, Del Ponte & Sparks 2021, 11 %). The rest is
 * our guess.
 */
const valueGrounds: Grounds = {
  even: { block: 5, plot: 6, plant: 10 },
  usual: { block: 10, plot: 11, plant: 20 },
  patchy: { block: 15, plot: 25, plant: 30 },
};

/** How uneven such ground is, on the scale of what is measured. */
export const unevennessOf = (ground: GroundName, kind: Expected['kind']): Unevenness =>
  (kind === 'value' ? valueGrounds : shareGrounds)[ground];

/** Taken where nobody says: leaves counted on a plant, and percent of them diseased in the control (our guess). */
export const usualExpected = { kind: 'leaves', percent: 40, leaves: 12 } as const;

const fault = (what: string, remedy: string): Problem => ({
  kind: 'fault',
  code: 'power-question',
  what,
  do: remedy,
});

const isWhole = (n: number, least: number, most: number): boolean =>
  Number.isInteger(n) && n >= least && n <= most;

const mostPlants = 1000;
const mostLeaves = 1000;
const mostClasses = 100;
/** Largest number of scores in one made-up trial: keeps a slip of the finger from taking all memory. */
const mostScores = 200_000;

function expectedFault(expected: Expected): Problem | undefined {
  if (expected.kind === 'value') {
    return Number.isFinite(expected.mean) && expected.mean > 0
      ? undefined
      : fault(`The control’s value must be above 0; got ${expected.mean}.`, 'Give its usual size.');
  }
  const { percent } = expected;
  if (!(percent > 0 && percent < 100)) {
    return fault(
      `The control’s disease must be above 0 % and below 100 %; got ${percent}.`,
      'Say how much you expect at the last round if nothing is done.',
    );
  }
  if (expected.kind === 'leaves' && !isWhole(expected.leaves, 1, mostLeaves)) {
    return fault(
      `Leaves on a plant must be a whole number from 1 to ${mostLeaves}; got ${expected.leaves}.`,
      'Count the leaves of one plant.',
    );
  }
  if (expected.kind === 'grades' && !isWhole(expected.classes, 2, mostClasses)) {
    return fault(
      `There must be 2 to ${mostClasses} grades; got ${expected.classes}.`,
      'Count the healthy one too.',
    );
  }
  return undefined;
}

function unevennessFault({ expected, unevenness }: PowerQuestion): Problem | undefined {
  const most = expected.kind === 'value' ? 200 : 5;
  const wrong = Object.entries(unevenness).find(([, sd]) => !(sd >= 0 && sd <= most));
  return wrong === undefined
    ? undefined
    : fault(
        `The spread of ${wrong[0]}s must be from 0 to ${most}; got ${wrong[1]}.`,
        'Name the ground even, usual or patchy where you don’t know better.',
      );
}

/** Why a question has no answer, in words; undefined where it has one. */
export function powerFault(question: PowerQuestion): Problem | undefined {
  const { request, plantsPerPlot, rounds, everyDays, differencePercent } = question;
  const facts = layoutFacts(request);
  if (!facts.ok) return facts.problem;
  if (!isWhole(plantsPerPlot, 1, mostPlants)) {
    return fault(
      `Plants in a plot must be a whole number from 1 to ${mostPlants}; got ${plantsPerPlot}.`,
      'Say how many are scored.',
    );
  }
  if (!isWhole(rounds, 1, 100) || !isWhole(everyDays, 1, 365)) {
    return fault(
      `There must be 1 to 100 rounds, 1 to 365 days apart; got ${rounds} and ${everyDays}.`,
      'Say how often you will score.',
    );
  }
  if (facts.plots * plantsPerPlot * rounds > mostScores) {
    return fault(
      `That makes ${facts.plots * plantsPerPlot * rounds} scores a trial; at most ${mostScores} can be tried out.`,
      'Take fewer plants or rounds.',
    );
  }
  if (!(differencePercent >= 0 && differencePercent <= 100)) {
    return fault(
      `The difference must be from 0 to 100 %; got ${differencePercent}.`,
      '50 is a halving.',
    );
  }
  return expectedFault(question.expected) ?? unevennessFault(question);
}
