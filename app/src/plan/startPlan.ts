import { createBookOfTrial } from '../book/createBook';
import { openBook } from '../book/openBook';
import { planHref } from '../route';
import { goTo } from '../useRoute';
import { firstAnswers } from './values';

/** Makes a new trial with the untreated control in it, and opens its plan. */
export async function startPlan(): Promise<void> {
  const id = await createBookOfTrial();
  const open = await openBook(id);
  const lines = Object.entries(firstAnswers).map(([thing, value]) => ({
    kind: 'plan',
    thing,
    value,
  }));
  await open.writeAll(lines);
  goTo(planHref(id));
}
