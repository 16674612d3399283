import { askToKeep } from './health';
import { startBook } from './openBook';
import { untitled } from './bookCards';
import { randomLetters } from './writer';

/** Letters of a new trial's id: few, for a stake's code to hold; 36^12 of them never meet. */
const idLetters = 12;

/**
 * Makes a new, empty trial on this device; settles with its id once it is on disk. The browser is
 * asked not to clear it away.
 */
export async function createBookOfTrial(title: string = untitled): Promise<string> {
  const id = randomLetters(idLetters);
  await startBook(id).write('plan', 'title', title);
  void askToKeep();
  return id;
}
