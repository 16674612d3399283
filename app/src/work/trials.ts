import type { Judgement } from '@fairbed/verdict';
import { isDemo } from '../shelf/demos';
import { changeTrial } from '../shelf/store';
import { type Facts, withFacts } from '../verdict/facts';
import type { Ask } from './ask';
import type { Held, Report } from './desk';
import { type Hand, hire } from './foreman';

let hand: Hand | undefined;
const held = new Map<string, Promise<Held | undefined>>();
const judged = new Map<string, Promise<Judgement>>();
const keptAnswers = 24;

const theHand = (): Hand => {
  hand ??= hire();
  return hand;
};

/** Starts the worker before it is needed, beside the page itself. */
export const warmUp = (): void => void theHand();

/** Stops all judging at once: whoever waits hears `Stopped`. The next question hires anew. */
export function stopJudging(): void {
  const old = hand;
  hand = undefined;
  held.clear();
  judged.clear();
  old?.stop();
}

/** Demos as the reader restated them, until the page is closed; the example itself stays. */
const restated = new Map<string, unknown>();

/** Does this example say something for this visit that it does not say by itself? */
export const isRestatedDemo = (id: string): boolean => restated.has(id);

const fetchTrial = (id: string, report: Report): Promise<Held | undefined> =>
  theHand().ask<Held | undefined>(report, (desk, say) => desk.hold(id, restated.get(id), say));

/** A stored or invented trial, checked, with the outcomes it carries; undefined where there is none. */
export function openTrial(id: string, report: Report): Promise<Held | undefined> {
  const known = held.get(id);
  if (known) return known;
  const opening = fetchTrial(id, report);
  held.set(id, opening);
  opening.then(
    (found) => {
      if (found === undefined) held.delete(id);
    },
    () => held.delete(id),
  );
  return opening;
}

/** Forgets what was worked out of a trial, because it has been erased or stored anew. */
export function forgetTrial(id: string): void {
  held.delete(id);
  for (const key of judged.keys()) if (key.startsWith(`${id}\n`)) judged.delete(key);
}

/**
 * Says how a trial was laid out and scored, keeps it where the trial is kept (an example: in this
 * page only), and opens the trial anew.
 */
export async function restateTrial(id: string, facts: Facts): Promise<Held> {
  const quiet = (): void => undefined;
  const now = await openTrial(id, quiet);
  if (now === undefined) throw new Error('This trial is not here.');
  if (isDemo(id)) restated.set(id, withFacts(now.trial, facts));
  else await changeTrial(id, (trial) => withFacts(trial, facts));
  forgetTrial(id);
  const next = await openTrial(id, quiet);
  if (next === undefined) throw new Error('This trial is not here.');
  return next;
}

/** What Fairbed says of a trial. The same question is answered once and remembered. */
export function judgeTrial(id: string, ask: Ask, report: Report): Promise<Judgement> {
  const key = `${id}\n${JSON.stringify(ask)}`;
  const known = judged.get(key);
  if (known) return known;
  // Not waited for: the worker does one thing after another, and judges once it holds the trial.
  const opened = openTrial(id, report);
  const answer = theHand().ask<Judgement>(report, (desk, say) => desk.judge(id, ask, say));
  opened.catch(() => judged.delete(key));
  judged.set(key, answer);
  const oldest = judged.keys().next().value;
  if (judged.size > keptAnswers && oldest !== undefined) judged.delete(oldest);
  answer.catch(() => judged.delete(key));
  return answer;
}

/** The trial as a data package: the bytes of a zip. */
export const packTrial = async (id: string): Promise<Uint8Array> => {
  const quiet = (): void => undefined;
  if ((await openTrial(id, quiet)) === undefined) throw new Error('This trial is not here.');
  return theHand().ask(quiet, (desk) => desk.pack(id));
};
