import { type Day, dayFromNumber, daysBetween } from '@fairbed/field';
import { type Due, type Trial, whatsDue } from '@fairbed/trial';

/** What a first screen says of a trial, beside what the trial itself asks for. */
export type NowItem =
  | { readonly kind: 'due'; readonly when: Due['when']; readonly due: Due }
  | {
      readonly kind: 'clash' | 'backup';
      readonly when: 'now';
      readonly what: string;
      readonly why: string;
    };

/** What the device knows of a trial beside its entries. */
export type Kept = {
  /** Things about which entries clash. */
  readonly clashes: number;
  /** Entries that no back-up holds. */
  readonly unsaved: number;
  /** The day of the last back-up; absent where none was ever saved. */
  readonly lastBackup?: Day;
};

/** A back-up is old after a week in which something was written. */
const oldAfter = 7;
/** So many entries are a morning's work: they are worth a first back-up. */
const worthKeeping = 30;

const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

function clashItem({ clashes }: Kept): NowItem[] {
  if (clashes === 0) return [];
  return [
    {
      kind: 'clash',
      when: 'now',
      what:
        clashes === 1
          ? 'Choose between two entries that clash.'
          : `Choose between entries that clash about ${clashes} things.`,
      why: 'They were written on two devices that did not know of each other. Both are kept.',
    },
  ];
}

function backupItem({ unsaved, lastBackup }: Kept, today: Day): NowItem[] {
  const what = 'Save a back-up as a file.';
  if (lastBackup === undefined) {
    if (unsaved < worthKeeping) return [];
    const why = `No back-up was ever saved: ${plural(unsaved, 'entry', 'entries')} are on this device alone.`;
    return [{ kind: 'backup', when: 'now', what, why }];
  }
  if (unsaved === 0 || daysBetween(lastBackup, today) <= oldAfter) return [];
  const why = `The last one is of ${lastBackup}; ${plural(unsaved, 'entry was', 'entries were')} written since.`;
  return [{ kind: 'backup', when: 'now', what, why }];
}

const rank = { caution: 0, now: 1, later: 2 } as const;

/**
 * What is to be done about one trial, and why: cautions first, then what is for today (rounds,
 * sprays, clashes, a back-up), then what comes later.
 */
export function nowOf(
  trial: Trial,
  kept: Kept,
  now: { readonly day: Day; readonly time: string },
): readonly NowItem[] {
  const dues = whatsDue(trial, now).map((due): NowItem => ({ kind: 'due', when: due.when, due }));
  return [...dues, ...clashItem(kept), ...backupItem(kept, now.day)].sort(
    (a, b) => rank[a.when] - rank[b.when],
  );
}

/** A trial and what is to be done about it. */
export type TrialNow = {
  readonly id: string;
  readonly title: string;
  readonly items: readonly NowItem[];
};

/** The answer of the first screen, before any list. */
export function answerOf(trials: readonly TrialNow[]): string {
  const all = trials.flatMap(({ items }) => items);
  const count = all.filter(({ when }) => when === 'now').length;
  const cautions = all.filter(({ when }) => when === 'caution').length;
  const heed = cautions === 0 ? '' : ` Heed ${plural(cautions, 'caution')}.`;
  if (count > 0) return `${plural(count, 'thing')} ${count === 1 ? 'needs' : 'need'} doing.${heed}`;
  const next = all
    .flatMap((item) =>
      item.kind === 'due' && item.due.code === 'round-next' ? [item.due.day] : [],
    )
    .filter((day) => day !== undefined)
    .sort()[0];
  const then = next === undefined ? '' : ` The next round is on ${next}.`;
  return `Nothing needs doing today.${heed}${then}`;
}

/** The day of a moment in ms since 1970, by this device's clock. */
export function dayOfMs(ms: number): Day | undefined {
  const here = new Date(ms);
  const utc = Date.UTC(here.getFullYear(), here.getMonth(), here.getDate());
  return dayFromNumber(Math.floor(utc / 86_400_000));
}
