import { dayNumber, type Problem } from '@fairbed/field';
import { leafAccounts, leftAfter, newLeaves } from '../leaf-account';
import type { Score, Trial } from '../schema';
import { healthyStripped, impossible, lostOf, tabulate } from '../tally';
import { timelineOf } from '../timeline';

/** Leaf counts of a plant as they stand on the screen. */
export type PlantNow = Partial<
  Pick<Score, 'standing' | 'diseased' | 'stripped' | 'strippedDiseased' | 'lost'>
>;

/** A plant after the last round in which it was visited. */
export type PlantBefore = {
  /** Leaves left on it after stripping; absent where none was counted yet. */
  readonly left?: number;
  /** Days from that round to this one. */
  readonly days?: number;
  /** What was written down of it then, to be shown beside the new figures. */
  readonly score?: Score;
};

/** Where a plant stands: the round that is being scored, and the plant. */
export type PlantAt = { readonly round: string; readonly plot: string; readonly plant?: string };

/**
 * A plant as the rounds before `round` left it, by the leaf account; visits that only stripped are
 * counted in. Undefined where it was not visited before.
 */
export function plantBefore(
  trial: Trial,
  { round, plot, plant }: PlantAt,
): PlantBefore | undefined {
  const { rounds } = timelineOf(trial);
  const now = rounds.findIndex(({ id }) => id === round);
  const earlier = new Map((now < 0 ? rounds : rounds.slice(0, now)).map(({ id }, i) => [id, i]));
  const target = trial.diseases[0]?.id;
  const scores = trial.scores
    .filter(
      (score) =>
        score.plot === plot &&
        score.plant === plant &&
        earlier.has(score.round) &&
        (score.disease === undefined || score.disease === target),
    )
    .sort((a, b) => (earlier.get(a.round) ?? 0) - (earlier.get(b.round) ?? 0));
  const score = scores.at(-1);
  if (score === undefined) return undefined;
  const alone = tabulate({
    ...trial,
    // Lost or not: a plant that is being scored has a past.
    plots: trial.plots
      .filter(({ id }) => id === plot)
      .map(({ id, treatment }) => ({ id, treatment })),
    plants: [],
    scores,
  });
  const left = leftAfter(leafAccounts(alone).accounts[0]?.entries ?? []);
  const [then, today] = [score.round, round].map((id) => rounds.find((one) => one.id === id)?.day);
  return {
    ...(left === undefined ? {} : { left }),
    ...(then === undefined || today === undefined
      ? {}
      : { days: dayNumber(today) - dayNumber(then) }),
    score,
  };
}

const numbers = [
  'No',
  'One',
  'Two',
  'Three',
  'Four',
  'Five',
  'Six',
  'Seven',
  'Eight',
  'Nine',
  'Ten',
  'Eleven',
  'Twelve',
];
const leaves = (n: number): string => `${numbers[n] ?? String(n)} ${n === 1 ? 'leaf' : 'leaves'}`;

/**
 * Leaves a plant may open in a week and more before it is asked about: two, and one a day. Leafy
 * brassicas open one in two to five days (from memory), so a quick plant is not questioned.
 */
const mostNew = (days: number | undefined): number => 2 + (days ?? 7);

function balance({ standing, lost }: PlantNow, { left, days }: PlantBefore): Problem[] {
  if (standing === undefined || left === undefined) return [];
  const gone = lostOf({ lost });
  const fresh = newLeaves(standing, left, gone);
  const sum = `${left} were left last time, ${standing} stand now${gone === undefined || gone === 0 ? '' : `, ${gone} written down as lost`}`;
  if (fresh < 0) {
    return [
      {
        kind: 'question',
        code: 'leaves-too-few',
        what: `${leaves(-fresh)} too few: ${sum}.`,
        do: 'Were some lost? Write down how many and why, or count again.',
      },
    ];
  }
  if (fresh === 0) return [];
  const many = fresh > mostNew(days);
  return [
    {
      kind: many ? 'question' : 'note',
      code: many ? 'leaves-too-many' : 'new-leaves',
      what: many ? `${leaves(fresh)} too many: ${sum}.` : `${leaves(fresh)} more: ${sum}.`,
      do: `${fresh === 1 ? 'Was it' : many ? 'Were so many' : 'Were they'} new? If not, count again.`,
    },
  ];
}

/**
 * The leaf balance of one plant as it is typed: what can't be (a fault), what is to be asked (a
 * question) and what follows (a note: leaves that opened). The rules are those of the leaf account
 * and the tally, so that nothing passes here which is set aside later. Blank figures are not asked
 * about. None of it is a lock.
 */
export function checkPlant(now: PlantNow, before: PlantBefore = {}): readonly Problem[] {
  const why = impossible(now);
  const healthy = why === undefined ? healthyStripped(now) : undefined;
  return [
    ...(why === undefined
      ? []
      : [
          {
            kind: 'fault' as const,
            code: 'impossible-count',
            what: `${why}: that can't be.`,
            do: 'Count again, or correct one of the two numbers.',
          },
        ]),
    ...(healthy === undefined
      ? []
      : [
          {
            kind: 'question' as const,
            code: 'healthy-leaves-stripped',
            what: `${healthy}.`,
            do: 'Correct the count, or say how many of the stripped leaves were diseased.',
          },
        ]),
    ...balance(now, before),
  ];
}
