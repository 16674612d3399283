import type { Treatment, Trial } from '../schema';
import { namesOf } from './blind';
import { minuteOf, type Moment, momentOf } from './moment';

type Spray = Trial['sprays'][number];

/** Whether people should keep out of a plot, or of the whole trial. A caution, never a lock. */
export type Reentry =
  | { readonly state: 'clear' }
  | {
      readonly state: 'running';
      readonly until: Moment;
      readonly hours: number;
      readonly spray: Spray;
      readonly what: string;
      readonly do: string;
    }
  | {
      /** Sprayed lately, and nobody wrote down how long to keep out. */
      readonly state: 'unknown';
      readonly spray: Spray;
      readonly what: string;
      readonly do: string;
    };

/**
 * A spray without a written interval is cautioned about for three days. Labels commonly ask for 4
 * to 72 hours (from memory), so by then nearly all have run out.
 */
const unknownFor = 72;
const anHour = 60;

/** Only what is sprayed as a product has an interval; water, practices and cultivars have none. */
const mayHaveInterval: ReadonlySet<Treatment['kind']> = new Set([
  'product',
  'adjuvant-only',
  'unstated',
]);

/** Minute at which spraying ended: the end of the day where no time was written down. */
const endOf = ({ day, time }: Spray): number =>
  time === undefined ? minuteOf({ day, time: '00:00' }) + 24 * anHour : minuteOf({ day, time });

/** Minute at which a spray began to count: without a time, the morning of its day. */
const startOf = ({ day, time }: Spray): number => minuteOf({ day, time: time ?? '00:00' });

function touches(spray: Spray, trial: Pick<Trial, 'plots'>, plot: string | undefined): boolean {
  if (plot === undefined) return true;
  const own = trial.plots.find(({ id }) => id === plot);
  return spray.plots?.includes(plot) ?? own?.treatment === spray.treatment;
}

const whole = (hours: number): string => `${hours} ${hours === 1 ? 'hour' : 'hours'}`;

function running(spray: Spray, hours: number): Reentry | undefined {
  const until = momentOf(Math.ceil(endOf(spray) + hours * anHour));
  if (until === undefined) return undefined;
  const at = spray.time === undefined ? 'at a time not written down' : `at ${spray.time}`;
  return {
    state: 'running',
    until,
    hours,
    spray,
    what: `Sprayed on ${spray.day} ${at}; the re-entry interval of ${whole(hours)} runs until ${until.day} ${until.time}.`,
    do: 'Wait until then, or go in only with the protection the label names.',
  };
}

const unknown = (spray: Spray): Reentry => ({
  state: 'unknown',
  spray,
  what: `Sprayed on ${spray.day}, and no re-entry interval is written down.`,
  do: 'Look at the label for how long to keep out, and write it down with the spray.',
});

/**
 * Whether a re-entry interval runs at a moment, for one plot or (left out) for any plot of the trial,
 * and until when: from the spray's day and time, so many hours on. Where no time is written down the
 * interval counts from the end of that day. The spray's own interval comes before the treatment's; of
 * several that run, the one that ends last. A spray whose interval nobody wrote down gives a caution
 * for three days. Sprays after the moment are not counted. Names no treatment, and until the reveal
 * answers for the whole trial whatever plot is asked about: where some plots are cautioned about and
 * others are not, a scorer would know which were sprayed.
 */
export function reentryOf(
  trial: Pick<Trial, 'sprays' | 'treatments' | 'plots' | 'reveal'>,
  now: Moment,
  asked?: string,
): Reentry {
  const plot = namesOf(trial).revealed ? asked : undefined;
  const minute = minuteOf(now);
  const treatments = new Map(trial.treatments.map((treatment) => [treatment.id, treatment]));
  let latest: { readonly end: number; readonly reentry: Reentry } | undefined;
  let unsaid: Reentry | undefined;
  for (const spray of trial.sprays) {
    if (startOf(spray) > minute || !touches(spray, trial, plot)) continue;
    const treatment = treatments.get(spray.treatment);
    const hours = spray.reentryHours ?? treatment?.reentryHours;
    const end = endOf(spray) + (hours ?? unknownFor) * anHour;
    if (end <= minute) continue;
    if (hours === undefined) {
      if (mayHaveInterval.has(treatment?.kind ?? 'unstated')) unsaid = unknown(spray);
      continue;
    }
    const reentry = hours === 0 ? undefined : running(spray, hours);
    if (reentry !== undefined && (latest === undefined || end > latest.end)) {
      latest = { end, reentry };
    }
  }
  return latest?.reentry ?? unsaid ?? { state: 'clear' };
}
