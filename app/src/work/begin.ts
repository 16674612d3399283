import { readRoute } from '../route';
import { isReadLater, screens } from '../screens';
import { askOf, quickly } from './ask';
import { judgeTrial, warmUp } from './trials';

/**
 * Hires the worker before the page itself is read, and where the address names a trial has it
 * judged meanwhile: the screen asks the same question and finds it being answered.
 */
export function begin(hash: string): void {
  const route = readRoute(hash);
  if (route.screen !== 'trial') warmUp();
  if (isReadLater(route.screen)) void screens[route.screen]();
  if (route.screen !== 'trial') return;
  const ask = quickly(askOf(route.view));
  warmUp({ id: route.id, ask });
  // A fault is not kept: the screen asks again and says what is wrong.
  judgeTrial(route.id, ask, () => undefined).catch(() => undefined);
}
