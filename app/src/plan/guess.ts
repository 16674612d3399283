import { type GroundName, usualExpected } from '@fairbed/verdict';

/** What the grower expects of the bed: kept beside the plan, part of no document. */
export type Guess = {
  readonly ground: GroundName;
  /** Percent diseased in the control at the last round. */
  readonly percent: number;
  /** Leaves counted on a plant. */
  readonly leaves: number;
};

export const usualGuess: Guess = {
  ground: 'usual',
  percent: usualExpected.percent,
  leaves: usualExpected.leaves,
};

export const grounds: readonly { readonly id: GroundName; readonly title: string }[] = [
  { id: 'even', title: 'Even: as in a well-kept field trial' },
  { id: 'usual', title: 'Usual: our guess of a home bed' },
  { id: 'patchy', title: 'Patchy: some plots three times as ill as others' },
];

const isGround = (value: unknown): value is GroundName => grounds.some(({ id }) => id === value);

const between = (value: unknown, least: number, most: number): value is number =>
  typeof value === 'number' && value >= least && value <= most;

/** Reads a guess that was kept; what has another shape counts as not made. */
export function readGuess(value: unknown): Guess {
  const { ground, percent, leaves } = (value ?? {}) as Readonly<Record<string, unknown>>;
  return {
    ground: isGround(ground) ? ground : usualGuess.ground,
    percent: between(percent, 1, 99) ? percent : usualGuess.percent,
    leaves: between(leaves, 1, 200) && Number.isInteger(leaves) ? leaves : usualGuess.leaves,
  };
}
