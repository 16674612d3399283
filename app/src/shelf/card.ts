import type { Trial } from '@fairbed/trial';
import type { EvidenceGrade, Judgement } from '@fairbed/verdict';

/** What a verdict said in one line, and which release of Fairbed said it. */
export type Summary = {
  readonly sentence: string;
  readonly grade: EvidenceGrade;
  readonly version: string;
};

/** A trial as the shelf shows it; the trial itself is read only when it is opened. */
export type Card = {
  readonly id: string;
  readonly title: string;
  readonly invented: boolean;
  readonly plots: number;
  readonly treatments: number;
  readonly rounds: number;
  /** Milliseconds since 1970. */
  readonly addedAt: number;
  /** Set while the trial is removed and can be put back. */
  readonly removedAt?: number;
  readonly fileName?: string;
  /** Kept as a ledger of entries: planned and scored here, not read from a sheet. */
  readonly book?: true;
};

/** The card of a trial that is put on the shelf at `now` (milliseconds since 1970). */
export const cardOf = (trial: Trial, now: number, fileName?: string): Card => ({
  id: trial.id,
  title: trial.title,
  invented: trial.invented ?? false,
  plots: trial.plots.length,
  treatments: trial.treatments.length,
  rounds: trial.rounds.length,
  addedAt: now,
  ...(fileName === undefined ? {} : { fileName }),
});

/** The line a card carries of a judgement. */
export const summaryOf = ({ verdict }: Judgement, version: string): Summary => ({
  sentence: verdict.sentence,
  grade: verdict.grade,
  version,
});

/**
 * A title that is not on the shelf yet: `Grapes`, then `Grapes (2)`, `Grapes (3)`. Two sheets of
 * the same name are two trials until the grower says otherwise.
 */
export function freeTitle(title: string, taken: readonly string[]): string {
  if (!taken.includes(title)) return title;
  for (let n = 2; ; n++) {
    const next = `${title} (${n})`;
    if (!taken.includes(next)) return next;
  }
}
