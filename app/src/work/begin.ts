import { readRoute } from '../route';
import { screens } from '../screens';
import { askOf } from './ask';
import { judgeTrial, warmUp } from './trials';

/**
 * Hires the worker and asks for the screen before the page itself is read, and where the address
 * names a trial has it judged meanwhile: the screen asks the same question and finds it being
 * answered.
 */
export function begin(hash: string): void {
  const route = readRoute(hash);
  warmUp();
  if (route.screen !== 'unknown') void screens[route.screen]();
  if (route.screen !== 'trial') return;
  // A fault is not kept: the screen asks again and says what is wrong.
  judgeTrial(route.id, { ...askOf(route.view), withoutModels: true }, () => undefined).catch(
    () => undefined,
  );
}
