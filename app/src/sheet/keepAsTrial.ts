import type { Trial } from '@fairbed/trial';
import { trialHref } from '../route';
import { cardOf, freeTitle } from '../shelf/card';
import { readAllCards } from '../shelf/cards';
import { keepTrial } from '../shelf/store';
import { goTo } from '../useRoute';

/**
 * Puts a trial on the shelf under an id and a title of its own, and opens it once it is on disk.
 * A sheet read twice is two trials: none ever overwrites another.
 */
export async function keepAsTrial(trial: Trial, fileName: string): Promise<void> {
  const cards = await readAllCards();
  const titles = cards.filter((card) => card.removedAt === undefined).map((card) => card.title);
  const kept = { ...trial, id: crypto.randomUUID(), title: freeTitle(trial.title, titles) };
  await keepTrial(kept, cardOf(kept, Date.now(), fileName));
  goTo(trialHref(kept.id));
}

/** A title from the name of a file: `bean_rust-2026.csv` is "bean rust 2026". */
export const titleOf = (fileName: string): string =>
  fileName
    .replace(/\.[a-z0-9]{1,5}$/i, '')
    .replace(/[_\-.]+/g, ' ')
    .replace(/\s+/g, ' ')
    .trim() || 'Untitled trial';
