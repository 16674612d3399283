import type { Judgement } from '@fairbed/verdict';
import { onBookChange } from '../book/changes';
import { isDemo } from '../shelf/demos';
import { changeTrial, dropSummary } from '../shelf/store';
import { type Facts, withFacts } from '../verdict/facts';
import { type Ahead, createAhead } from './ahead';
import type { Ask } from './ask';
import type { Held, LookChoice, Report } from './desk';
import type { First } from './first';
import { type Hand, hire } from './foreman';

let hand: Hand | undefined;
type Opening = { readonly coming: Promise<Held | undefined>; found?: Held };

const held = new Map<string, Opening>();
type Answer = { readonly coming: Promise<Judgement>; said?: Judgement };

const judged = new Map<string, Answer>();
/** Answers of one trial after the other; those to all its nearest questions fit in. */
const keptAnswers = 150;

const theHand = (): Hand => {
  hand ??= hire();
  return hand;
};

/** Starts the worker before it is needed, beside the page itself, and on what is asked first. */
export function warmUp(first?: First): void {
  hand ??= hire(first);
}

/** What takes long, and what nobody asked yet, has a worker of its own: no question waits behind it. */
let ahead: Ahead | undefined;

function aheadOf(id: string): Ahead {
  if (ahead?.id !== id) {
    ahead?.retire();
    ahead = createAhead(id, () => restated.get(id));
  }
  return ahead;
}

/** Stops all judging at once: whoever waits hears `Stopped`. The next question hires anew. */
export function stopJudging(): void {
  const old = hand;
  hand = undefined;
  ahead?.stop();
  ahead = undefined;
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
  if (known) return known.coming;
  const opening: Opening = { coming: fetchTrial(id, report) };
  held.set(id, opening);
  const drop = (): void => {
    if (held.get(id) === opening) held.delete(id);
  };
  opening.coming.then((found) => {
    if (found === undefined) drop();
    else opening.found = found;
  }, drop);
  return opening.coming;
}

/** The trial, where it was opened already; undefined while it has not been. */
export const heldNow = (id: string): Held | undefined => held.get(id)?.found;

/** Forgets what was worked out of a trial, because it has been erased or stored anew. */
export function forgetTrial(id: string): void {
  if (ahead?.id === id) {
    ahead.retire();
    ahead = undefined;
  }
  held.delete(id);
  for (const key of judged.keys()) if (key.startsWith(`${id}\n`)) judged.delete(key);
}

onBookChange(({ document, entries, erased }) => {
  if (entries.length === 0 && erased === undefined) return;
  forgetTrial(document);
  // A card that can't be reached now is told by the next entry.
  dropSummary(document).catch(() => undefined);
});

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

const keyOf = (id: string, ask: Ask): string => `${id}\n${JSON.stringify(ask)}`;

/** What was answered to this question already; undefined while it has not been. */
export const answerNow = (id: string, ask: Ask): Judgement | undefined =>
  judged.get(keyOf(id, ask))?.said;

function keepAnswer(key: string, coming: Promise<Judgement>): void {
  const answer: Answer = { coming };
  judged.set(key, answer);
  // A question asked anew meanwhile (of a trial that was changed) has an answer of its own.
  const drop = (): void => {
    if (judged.get(key) === answer) judged.delete(key);
  };
  coming.then((judgement) => {
    answer.said = judgement;
  }, drop);
  const oldest = judged.keys().next().value;
  if (judged.size > keptAnswers && oldest !== undefined) judged.delete(oldest);
}

/** What Fairbed says of a trial. The same question is answered once and remembered. */
export function judgeTrial(id: string, ask: Ask, report: Report): Promise<Judgement> {
  const key = keyOf(id, ask);
  const known = judged.get(key);
  if (known) return known.coming;
  // Not waited for: the worker does one thing after another, and judges once it holds the trial.
  const opened = openTrial(id, report);
  const isSoon = ask.brief === true || ask.withoutModels === true;
  const coming = isSoon
    ? theHand().ask<Judgement>(report, (desk, say) => desk.judge(id, ask, say))
    : aheadOf(id).answer(ask, report);
  // What is wrong with the trial itself is said where it is opened.
  opened.catch(() => undefined);
  keepAnswer(key, coming);
  return coming;
}

/**
 * Answers these questions of an opened trial before anyone asks them, in order, where the device
 * has a processor to spare. What was begun for other questions is dropped.
 */
export function judgeAhead(id: string, asks: readonly Ask[]): void {
  aheadOf(id).work(
    asks.filter((ask) => !judged.has(keyOf(id, ask))),
    (ask, coming) => {
      const key = keyOf(id, ask);
      if (!judged.has(key)) keepAnswer(key, coming);
    },
  );
}

/** The rounds of an opened trial after which it can be judged. */
export const looksOf = (id: string): Promise<readonly LookChoice[]> =>
  theHand().ask(
    () => undefined,
    (desk) => desk.looks(id),
  );

/** A trial kept as a book, with its ledger and photos: what makes it the same trial elsewhere. */
async function packBook(id: string): Promise<Uint8Array | undefined> {
  const { hasBook } = await import('../book/bookCards');
  if (!(await hasBook(id))) return undefined;
  const [{ openBook }, { packageOf }] = await Promise.all([
    import('../book/openBook'),
    import('../book/exchange'),
  ]);
  const packed = await packageOf(await openBook(id), { photos: true });
  return new Uint8Array(await packed.arrayBuffer());
}

/** The trial as a data package: the bytes of a zip. */
export const packTrial = async (id: string): Promise<Uint8Array> => {
  const quiet = (): void => undefined;
  const book = isDemo(id) ? undefined : await packBook(id);
  if (book !== undefined) return book;
  if ((await openTrial(id, quiet)) === undefined) throw new Error('This trial is not here.');
  return theHand().ask(quiet, (desk) => desk.pack(id));
};
