import { type Day, dayFromNumber, dayNumber, daysBetween } from '@fairbed/field';
import type { Round, Treatment, Trial } from '../schema';
import { namesOf } from './blind';
import { reentryOf } from './reentry';
import { roundState } from './round-state';
import { graceDays, type HeldRound, scheduleOf } from './rounds-plan';

export type DueCode =
  | 'reentry'
  | 'reentry-unknown'
  | 'harvest-wait'
  | 'spray-forbidden'
  | 'plan-unfinished'
  | 'seal-due'
  | 'round-open'
  | 'plot-missed'
  | 'round-overdue'
  | 'round-due'
  | 'round-next'
  | 'spray-due'
  | 'reveal-due'
  | 'verdict-ready';

/** One thing to do (or to leave) today: `what` and `why`, each a sentence. */
export type Due = {
  readonly code: DueCode;
  /** `caution` before everything else, `now` today, `later` worth knowing. */
  readonly when: 'caution' | 'now' | 'later';
  readonly what: string;
  readonly why: string;
  /** The round it is about, where one was begun. */
  readonly round?: string;
  /** Ids of the plots it is about. */
  readonly plots?: readonly string[];
  /** The day it is planned for, or lasts until. */
  readonly day?: Day;
};

type Now = { readonly day: Day; readonly time?: string };

const plural = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;
const listed = (list: readonly string[]): string =>
  list.length < 2 ? list.join('') : `${list.slice(0, -1).join(', ')} and ${list.at(-1) ?? ''}`;
const after = (day: Day, days: number): Day | undefined =>
  dayFromNumber(dayNumber(day) + Math.ceil(days));

function reentryDue(trial: Trial, { day, time = '00:00' }: Now): Due[] {
  const reentry = reentryOf(trial, { day, time });
  if (reentry.state === 'clear') return [];
  const said = { when: 'caution', what: reentry.do, why: reentry.what } as const;
  return reentry.state === 'running'
    ? [{ code: 'reentry', ...said, day: reentry.until.day }]
    : [{ code: 'reentry-unknown', ...said }];
}

/** A spray that bears a day still to come has not happened: it must not hide one that has. */
const lastSpray = (trial: Trial, treatment: string, today: Day): Day | undefined =>
  trial.sprays
    .filter(({ day, treatment: of }) => of === treatment && day <= today)
    .map(({ day }) => day)
    .sort()
    .at(-1);

/** What is sprayed as a product has a pre-harvest interval, written down or not. */
const mayHaveInterval: ReadonlySet<Treatment['kind']> = new Set(['product', 'adjuvant-only']);

/** A spray without a written interval is cautioned about for so many days; few labels ask for more (from memory). */
const unknownFor = 60;

type Wait = { readonly treatment: Treatment; readonly last: Day; readonly until: Day };

/** Sprays whose pre-harvest interval runs; `unsaid` where nobody wrote one down. */
function waits(trial: Trial, today: Day) {
  const running: Wait[] = [];
  const unsaid: Wait[] = [];
  for (const treatment of trial.treatments) {
    const { preHarvestDays, kind, id } = treatment;
    const last = lastSpray(trial, id, today);
    const until = last && after(last, preHarvestDays ?? unknownFor);
    if (last === undefined || until === undefined || until <= today) continue;
    if (preHarvestDays !== undefined) running.push({ treatment, last, until });
    else if (mayHaveInterval.has(kind)) unsaid.push({ treatment, last, until });
  }
  return { running, unsaid };
}

/**
 * What must not be harvested yet. While the codes are not revealed nobody who harvests can tell
 * which plots were sprayed, so it is all of them.
 */
function harvestWaits(trial: Trial, today: Day): Due[] {
  const { running, unsaid } = waits(trial, today);
  const caution = { code: 'harvest-wait', when: 'caution' } as const;
  const days = ({ preHarvestDays = 0 }: Treatment): string => plural(preHarvestDays, 'day');
  const label = 'Look at the label for the pre-harvest interval before you harvest';
  if (namesOf(trial).revealed) {
    return [
      ...running.map(({ treatment, last, until }) => ({
        ...caution,
        what: `Harvest nothing that was sprayed with ${treatment.name} before ${until}.`,
        why: `It was sprayed on ${last}; the pre-harvest interval is ${days(treatment)}.`,
        day: until,
      })),
      ...unsaid.map(({ treatment: { name }, last }) => ({
        ...caution,
        what: `${label} what was sprayed with ${name}.`,
        why: `It was sprayed on ${last}, and no pre-harvest interval is written down.`,
      })),
    ];
  }
  const longest = running.sort((a, b) => dayNumber(b.until) - dayNumber(a.until)).slice(0, 1);
  return [
    ...longest.map(({ treatment, last, until }) => ({
      ...caution,
      what: `Harvest nothing of this trial before ${until}.`,
      why: `Plots were sprayed on ${last}, and the pre-harvest interval is ${days(treatment)}; which plots is not shown before the reveal.`,
      day: until,
    })),
    ...unsaid.slice(0, 1).map(({ last }) => ({
      ...caution,
      what: `${label} anything of this trial.`,
      why: `Plots were sprayed on ${last}, and no pre-harvest interval is written down; which plots is not shown before the reveal.`,
    })),
  ];
}

/** Days between the sprays of a treatment, where the plan says that it is sprayed at all. */
const sprayEvery = ({ everyDays, kind }: Treatment): number | undefined =>
  kind === 'product' || kind === 'adjuvant-only' || kind === 'water-only' ? everyDays : undefined;

function sprayDue(trial: Trial, treatment: Treatment, today: Day): Due[] {
  const every = sprayEvery(treatment);
  if (every === undefined || every <= 0) return [];
  const last = lastSpray(trial, treatment.id, today);
  const due = last === undefined ? undefined : after(last, every);
  if (due !== undefined && due > today) return [];
  const { name, preHarvestDays, kind } = treatment;
  const wait = preHarvestDays ?? 0;
  const harvest = trial.plan?.harvestDay;
  const left = harvest === undefined ? Infinity : Math.max(0, daysBetween(today, harvest));
  if (left < wait) {
    return [
      {
        code: 'spray-forbidden',
        when: 'caution',
        what: `Don't spray ${name} any more.`,
        why: `Harvest is planned for ${harvest ?? ''}, ${plural(left, 'day')} off; the pre-harvest interval is ${plural(wait, 'day')}.`,
        ...(harvest === undefined ? {} : { day: harvest }),
      },
    ];
  }
  const since =
    last === undefined
      ? 'It has not been sprayed in this trial yet.'
      : `It was last sprayed on ${last}; the plan says every ${plural(every, 'day')}.`;
  const unsaid = preHarvestDays === undefined && mayHaveInterval.has(kind);
  const why = unsaid
    ? `${since} No pre-harvest interval is written down: look at the label first.`
    : since;
  const what = `Spray ${name} as the label says, if the weather allows.`;
  return [
    { code: 'spray-due', when: 'now', what, why, ...(due === undefined ? {} : { day: due }) },
  ];
}

/** Rounds with a figure, a skip or the scorer's word that they are done. */
function heldRounds({ rounds, scores, skipped = [] }: Trial): (Round & HeldRound)[] {
  const touched = new Set([...scores, ...skipped].map(({ round }) => round));
  return rounds
    .flatMap((round) => (round.day === undefined ? [] : [{ ...round, day: round.day }]))
    .filter(({ id, done }) => done === true || touched.has(id));
}

/** The round that was begun last, where plants of it are missing. */
function unfinished(trial: Trial, held: readonly (Round & HeldRound)[], today: Day): Due[] {
  const last = held
    .filter(({ day }) => day <= today)
    .sort((a, b) => dayNumber(b.day) - dayNumber(a.day))[0];
  const state = last && roundState(trial, last.id);
  if (last === undefined || state === undefined || state.missing === 0) return [];
  if (daysBetween(last.day, today) > graceDays) return [];
  const names = namesOf(trial);
  const plots = state.plots.filter(({ missing }) => missing > 0).map(({ plot }) => plot);
  const codes = listed(plots.map((plot) => names.plot(plot)?.code ?? plot));
  const about = { round: last.id, plots, day: last.day };
  if (last.done !== true) {
    const why = `${plural(state.missing, 'plant')} of ${state.missing + state.scored + state.skipped} ${state.missing === 1 ? 'is' : 'are'} not scored yet.`;
    return [
      { code: 'round-open', when: 'now', what: `Finish the round of ${last.day}.`, why, ...about },
    ];
  }
  return [
    {
      code: 'plot-missed',
      when: 'now',
      what: `Score ${plots.length === 1 ? 'plot' : 'plots'} ${codes}, or say why they were skipped.`,
      why: `${plural(state.missing, 'plant')} ${state.missing === 1 ? 'was' : 'were'} missed in the round of ${last.day}.`,
      ...about,
    },
  ];
}

function nextRound(trial: Trial, held: readonly HeldRound[], today: Day): Due[] {
  const planned = scheduleOf(trial.plan?.rounds, held)?.planned ?? [];
  const count = planned.length;
  const lastHeld = planned.findLastIndex((round) => round.held !== undefined);
  const open = planned.slice(lastHeld + 1);
  // Of several that have passed only the last can still be held; the others were missed.
  const now = open.filter(({ day }) => day <= today).at(-1);
  const next = now ?? open[0];
  if (next === undefined) return [];
  const late = daysBetween(next.day, today);
  const every = trial.plan?.rounds?.everyDays ?? Infinity;
  if (next === planned.at(-1) && late >= every) return [];
  const of = `It is round ${next.number} of ${count}`;
  const what = 'Walk the bed and score every plot.';
  if (late > 0) {
    const why = `${of}, planned for ${next.day}: ${plural(late, 'day')} ago.`;
    return [{ code: 'round-overdue', when: 'now', what, why, day: next.day }];
  }
  if (late === 0) {
    return [
      { code: 'round-due', when: 'now', what, why: `${of}, planned for today.`, day: next.day },
    ];
  }
  return [
    {
      code: 'round-next',
      when: 'later',
      what: `Score next on ${next.day}.`,
      why: `${of}, in ${plural(-late, 'day')}.`,
      day: next.day,
    },
  ];
}

/** What a plan still lacks before its first round. */
function beginnings(trial: Trial, held: readonly HeldRound[]): Due[] {
  if (trial.plots.length === 0) {
    const what = 'Finish the plan and draw the layout.';
    return [{ code: 'plan-unfinished', when: 'now', what, why: 'No plots are laid out yet.' }];
  }
  if (trial.plan?.sealed !== undefined || held.length > 0) return [];
  return [
    {
      code: 'seal-due',
      when: 'now',
      what: 'Seal the plan.',
      why: 'A plan that is sealed before the first score shows what was decided beforehand.',
    },
  ];
}

function ending(trial: Trial, held: readonly HeldRound[], today: Day): Due[] {
  if (trial.reveal !== undefined) {
    const why = `The codes were revealed on ${trial.reveal.day}.`;
    return [{ code: 'verdict-ready', when: 'later', what: 'Read the verdict.', why }];
  }
  const schedule = scheduleOf(trial.plan?.rounds, held);
  const last = schedule?.planned.at(-1);
  if (last === undefined || namesOf(trial).revealed) return [];
  const every = trial.plan?.rounds?.everyDays ?? Infinity;
  const over = last.held !== undefined || daysBetween(last.day, today) >= every;
  if (!over) return [];
  const what = 'Reveal the codes, when all is scored.';
  return [{ code: 'reveal-due', when: 'now', what, why: 'The last planned round is over.' }];
}

/**
 * What a trial asks for today, cautions first: a re-entry or pre-harvest interval that runs, a spray
 * the pre-harvest interval forbids; then a plan to finish or seal, a round begun and not finished, a
 * plot missed (for two days after its round), a round due or overdue, a spray due, the reveal; then
 * what comes next. No item names the treatment of a plot, so a scorer may read all of it. Intervals
 * are those written down with the treatment; where a product has none, that is said.
 */
export function whatsDue(trial: Trial, now: Now): readonly Due[] {
  const today = now.day;
  const all = heldRounds(trial);
  const held = all.filter(({ baseline }) => baseline !== true);
  const ended = ending(trial, held, today);
  const started = trial.plan?.sealed !== undefined || held.length > 0;
  const sprays = started && ended.length === 0 ? trial.treatments : [];
  const items = [
    ...reentryDue(trial, now),
    ...harvestWaits(trial, today),
    ...beginnings(trial, held),
    ...unfinished(trial, all, today),
    ...(trial.reveal === undefined && trial.plots.length > 0 ? nextRound(trial, held, today) : []),
    ...sprays.flatMap((one) => sprayDue(trial, one, today)),
    ...ended,
  ];
  const rank = { caution: 0, now: 1, later: 2 };
  return items.sort((a, b) => rank[a.when] - rank[b.when]);
}
