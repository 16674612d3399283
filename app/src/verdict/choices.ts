import type { MethodUsed, Judgement } from '@fairbed/verdict';
import type { View } from '../route';
import { type Ask, askOf, quickly } from '../work/ask';
import type { Held, LookChoice } from '../work/desk';
import { without } from '../writable';

/** What stood before the treatments began; it can be allowed for, and is no answer by itself. */
export const isBaseline = (id: string): boolean => id.endsWith('-first') || id === 'baseline-value';

type Chosen = 'outcome' | 'baseline' | 'control' | 'method' | 'look';

const withOne = (view: View, key: Chosen, value: string): View =>
  value === '' ? without(view, key) : { ...view, [key]: value };

/**
 * The view with another choice; an empty one is the trial's own. The method goes back to the rule
 * where what is judged changes: not every method can judge everything.
 */
export function withChoice(view: View, key: Chosen, value: string): View {
  const next = withOne(view, key, value);
  return key === 'outcome' || key === 'look' ? without(next, 'method') : next;
}

/** The view at another look; an outcome that could not be had by then goes back to the trial's own. */
export function withLook(view: View, looks: readonly LookChoice[], id: string): View {
  const next = withChoice(view, 'look', id);
  const then = id === '' ? looks.at(-1) : looks.find((look) => look.id === id);
  const kept = (outcome: string | undefined): boolean =>
    outcome === undefined || then === undefined || then.outcomes.includes(outcome);
  const judged = kept(next.outcome) ? next : without(next, 'outcome');
  return kept(judged.baseline) ? judged : without(judged, 'baseline');
}

/** The outcomes that can be had at the look of a view. */
export function outcomesAt(
  outcomes: Held['outcomes'],
  looks: readonly LookChoice[],
  view: View,
): Held['outcomes'] {
  const then = looks.find(({ id }) => id === view.look);
  return then === undefined ? outcomes : outcomes.filter(({ id }) => then.outcomes.includes(id));
}

/** The method on show: the one asked for where it is offered, else the one that was used. */
export const methodShown = ({ offered, used }: MethodUsed, { method }: View): string =>
  offered.find(({ id }) => id === method)?.id ?? used;

/** The methods in the order offered; the first is the one that the rule takes, and marked as such. */
export const methodChoices = ({ offered }: MethodUsed) =>
  offered.map(({ id, title }, i) => ({ id, title: i === 0 ? `${title} (by the rule)` : title }));

/** What may be asked next, one choice away from the view; the choices nearest to a hand first. */
export function nearestAsks(
  view: View,
  held: Held,
  judgement: Judgement,
  looks: readonly LookChoice[],
): readonly Ask[] {
  const outcomes = outcomesAt(held.outcomes, looks, view).filter(({ id }) => !isBaseline(id));
  const offered = judgement.method?.offered ?? [];
  const views = [
    ...outcomes.map(({ id }) => withChoice(view, 'outcome', id)),
    ...offered.map(({ id }, i) => withChoice(view, 'method', i === 0 ? '' : id)),
    ...held.trial.treatments.map(({ name }) => withChoice(view, 'control', name)),
    ...looks.map(({ id }, i) => withLook(view, looks, i === looks.length - 1 ? '' : id)).reverse(),
  ];
  return views.map((next) => quickly(askOf(next)));
}
