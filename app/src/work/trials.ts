import type { Judgement } from '@fairbed/verdict';
import { loadDemo } from '../shelf/demos';
import { readStoredTrial } from '../shelf/store';
import type { Ask, Held, Report } from './desk';
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

async function fetchTrial(id: string, report: Report): Promise<Held | undefined> {
  const raw: unknown = (await readStoredTrial(id)) ?? (await loadDemo(id));
  if (raw === undefined) return undefined;
  return theHand().ask(report, (desk, say) => desk.hold(id, raw, say));
}

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

/** What Fairbed says of a trial. The same question is answered once and remembered. */
export function judgeTrial(id: string, ask: Ask, report: Report): Promise<Judgement> {
  const key = `${id}\n${JSON.stringify(ask)}`;
  const known = judged.get(key);
  if (known) return known;
  const answer = (async () => {
    if ((await openTrial(id, report)) === undefined) throw new Error('This trial is not here.');
    return theHand().ask(report, (desk, say) => desk.judge(id, ask, say));
  })();
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
