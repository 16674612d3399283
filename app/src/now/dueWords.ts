import type { Day } from '@fairbed/field';
import type { Due, Trial } from '@fairbed/trial';
import { longDay } from '../plan/today';
import { roundUnderWay } from '../bed/rounds';
import { bedHref, historyHref, planHref, scoreHref, trialHref } from '../route';

/** A sentence with its days as they are spoken: `4 May 2026` for 2026-05-04. */
export const withLongDays = (text: string): string =>
  text.replace(/\b\d{4}-\d{2}-\d{2}\b/g, longDay);

/** The two sentences of a thing to do. Of a re-entry interval what runs comes before what to do. */
export function spoken({ code, what, why }: Due): { readonly what: string; readonly why: string } {
  const words = code === 'reentry' ? { what: why, why: what } : { what, why };
  return { what: withLongDays(words.what), why: withLongDays(words.why) };
}

/** Where a thing to do is done. `begin`: a round is to be begun first. */
export type DueStep =
  | { readonly kind: 'link'; readonly href: string; readonly label: string }
  | { readonly kind: 'begin'; readonly label: string };

function roundStep(id: string, trial: Trial, today: Day): DueStep {
  const open = roundUnderWay(trial, today);
  // One that was begun today and not scored yet is the one that is due.
  return open?.day === today
    ? { kind: 'link', href: scoreHref(id, open.id), label: 'Go on with the round' }
    : { kind: 'begin', label: 'Begin the round' };
}

/** The way to where a thing is done; undefined where nothing is to be done but wait. */
export function stepOf(id: string, due: Due, trial: Trial, today: Day): DueStep | undefined {
  const link = (href: string, label: string): DueStep => ({ kind: 'link', href, label });
  switch (due.code) {
    case 'round-due':
    case 'round-overdue':
      return roundStep(id, trial, today);
    case 'round-open':
      return link(scoreHref(id, due.round ?? ''), 'Go on with the round');
    case 'plot-missed':
      return link(scoreHref(id, due.round ?? '', due.plots?.[0]), 'Score it');
    case 'plan-unfinished':
    case 'seal-due':
      return link(planHref(id), due.code === 'seal-due' ? 'Go and seal it' : 'Go on planning');
    case 'spray-due':
      return link(bedHref(id), 'Write down a spray');
    case 'reveal-due':
      return link(bedHref(id), 'Go to the reveal');
    case 'verdict-ready':
      return link(trialHref(id), 'Read the verdict');
    case 'reentry-unknown':
      return link(historyHref(id, 'spray'), 'Look at the sprays');
    case 'reentry':
    case 'harvest-wait':
    case 'spray-forbidden':
    case 'round-next':
      return undefined;
  }
}
