import type { Problem } from '@fairbed/field';
import { clopperPearson, createRandom, type Random } from '@fairbed/stats';
import {
  canGive,
  drawLayout,
  type DrawnPlot,
  inventor,
  mainOutcome,
  type OutcomeId,
  tabulate,
  type Tally,
  type Trial,
} from '@fairbed/trial';
import type { Evidence } from '../evidence';
import { layoutFor } from '../layout';
import { plotTable } from '../table';
import type { Laid } from './judged';
import { type Decide, leanDecider, modelFirst } from './lean';
import { powerFault, type PowerQuestion } from './question';

/** A share of the simulated trials, with 95 % limits (Clopper & Pearson 1934). */
export type Share = {
  readonly count: number;
  readonly share: number;
  readonly low: number;
  readonly high: number;
};

/** What came of the trials simulated so far. */
export type PowerFigures = {
  readonly simulations: number;
  /** Trials that call the treatment that truly differs better than the control, fair or firm. */
  readonly called: Share;
  /** Those that call it firmly. */
  readonly firm: Share;
  /** Trials that call a treatment which does nothing, or call the one that helps worse. */
  readonly falseCall: Share;
  /** The outcome by which they were judged. */
  readonly outcome: OutcomeId;
};

/** A run of simulated trials that goes on as long as it is asked to. */
export type PowerStudy = {
  /** Simulates and judges so many more. */
  readonly run: (trials: number) => void;
  /** What came of all so far; undefined before the first. */
  readonly figures: () => PowerFigures | undefined;
};

/** Trials for which a layout is drawn once. */
const perLayout = 25;

const shareOf = (count: number, of: number): Share => {
  const { lower, upper } = clopperPearson(count, of, 0.95);
  return { count, share: count / of, low: lower, high: upper };
};

/** The treatment that truly differs: of those with the fewest plots the first, since it is the hardest to call. */
function truth(question: PowerQuestion, control: string, plots: readonly DrawnPlot[]): string {
  const others = question.request.treatments.filter((id) => id !== control);
  const standing = (id: string): number => plots.filter(({ treatment }) => treatment === id).length;
  return others.reduce(
    (least, id) => (standing(id) < standing(least) ? id : least),
    others[0] ?? '',
  );
}

function ratioOf({ expected, differencePercent }: PowerQuestion): number {
  const up = expected.kind === 'value' && expected.better === 'higher';
  return 1 + ((up ? 1 : -1) * differencePercent) / 100;
}

function outcomeOf(tally: Tally, { outcome }: PowerQuestion): OutcomeId | undefined {
  return outcome !== undefined && canGive(tally, outcome) ? outcome : mainOutcome(tally);
}

type Batch = {
  /** Makes up the next trial and adds its scores up. */
  readonly make: () => Tally;
  readonly decide: Decide;
  readonly helps: string;
  readonly outcome: OutcomeId;
};

function layOut(trial: Trial, control: string, outcome: OutcomeId): Laid {
  const table = plotTable(trial, control);
  const { levels, codes } = table.treatment;
  const plots = levels.map((_, code) => codes.filter((c) => c === code).length);
  const layout = layoutFor(trial, table);
  return { table, layout, outcome, control, fewestPlots: Math.min(...plots) };
}

/** Designs that least squares weighs; of the others the model comes first. */
const isLean = ({ request: { kind } }: PowerQuestion): boolean =>
  kind === 'completely-randomised' || kind === 'randomised-blocks' || kind === 'latin-square';

const refusal = (code: string, what: string, remedy: string): Problem => ({
  kind: 'fault',
  code,
  what,
  do: remedy,
});

function layoutRefusal({ layout, fewestPlots }: Laid): Problem | undefined {
  if (!layout.judged) {
    return refusal(
      'not-judged',
      'A trial laid out like this is described, not judged.',
      'Take randomised blocks where a verdict is wanted.',
    );
  }
  return fewestPlots < 2
    ? refusal(
        'unreplicated',
        'With one plot of a treatment nothing can be called.',
        'Give every treatment two plots or more.',
      )
    : undefined;
}

const controlOf = ({ request }: PowerQuestion): string =>
  request.control ?? request.treatments[0] ?? '';

/** Draws a layout and makes it ready for trials, all of them out of `random`. */
function nextBatch(question: PowerQuestion, random: Random): Batch | Problem {
  const control = controlOf(question);
  const drawn = drawLayout(question.request, random.next());
  if (!drawn.ok) return drawn.problem;
  const helps = truth(question, control, drawn.plots);
  const ratios = new Map([[helps, ratioOf(question)]]);
  const make = inventor({ ...question, plots: drawn.plots, ratios });
  // Its numbers are not used; what it holds tells by what such trials are judged.
  const first = tabulate(make(random.split()));
  const outcome = outcomeOf(first, question);
  if (outcome === undefined) {
    return refusal('no-outcome', 'Such a trial has nothing to judge by.', 'Plan more rounds.');
  }
  const laid = layOut(first.trial, control, outcome);
  const refused = layoutRefusal(laid);
  if (refused !== undefined) return refused;
  const decide = isLean(question) ? leanDecider(laid) : modelFirst(laid);
  return { make: () => tabulate(make(random)), decide, helps, outcome };
}

type Counts = { trials: number; called: number; firm: number; wrong: number };

function count(counts: Counts, { better, worse }: Evidence, helps: string | undefined): void {
  const isCall = ({ grade }: { readonly grade: Evidence['grade'] }): boolean =>
    grade === 'fair' || grade === 'firm';
  const right = better.find(({ name }) => name === helps);
  counts.trials++;
  if (right !== undefined && isCall(right)) counts.called++;
  if (right?.grade === 'firm') counts.firm++;
  if (worse.some(isCall) || better.some((one) => one.name !== helps && isCall(one))) counts.wrong++;
}

const figuresOf = (counts: Counts, outcome: OutcomeId): PowerFigures => ({
  simulations: counts.trials,
  called: shareOf(counts.called, counts.trials),
  firm: shareOf(counts.firm, counts.trials),
  falseCall: shareOf(counts.wrong, counts.trials),
  outcome,
});

export type PowerStudyOrProblem =
  | { readonly ok: true; readonly study: PowerStudy }
  | { readonly ok: false; readonly problem: Problem };

/**
 * Draws layouts, makes up trials on them and judges each by the decision that a real trial gets,
 * for as long as it is asked to. The same question and seed give the same trials in the same
 * order, however `run` is cut up. A new layout is drawn for every 25 trials. Memory does not grow
 * with their number. A problem, in words, where the question can't be asked.
 */
export function powerStudy(question: PowerQuestion): PowerStudyOrProblem {
  const wrong = powerFault(question);
  if (wrong !== undefined) return { ok: false, problem: wrong };
  const random = createRandom(question.seed);
  const first = nextBatch(question, random);
  if ('code' in first) return { ok: false, problem: first };
  const counts: Counts = { trials: 0, called: 0, firm: 0, wrong: 0 };
  const none = question.differencePercent === 0;
  let batch = first;
  const one = (): void => {
    if (counts.trials > 0 && counts.trials % perLayout === 0) {
      const next = nextBatch(question, random);
      if (!('code' in next)) batch = next;
    }
    count(counts, batch.decide(batch.make()), none ? undefined : batch.helps);
  };
  return {
    ok: true,
    study: {
      run: (trials) => {
        for (let i = 0; i < trials; i++) one();
      },
      figures: () => (counts.trials === 0 ? undefined : figuresOf(counts, batch.outcome)),
    },
  };
}
