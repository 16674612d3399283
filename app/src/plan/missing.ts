import { isDrawnFor } from './drawnFor';
import type { Plan } from './usePlan';

export type Missing = { readonly question: number; readonly what: string };

/** What a plan lacks before it can be sealed, and under which question it is asked. */
export function missingOf(plan: Plan): readonly Missing[] {
  const { values, facts, draws } = plan;
  const { treatments = [], control } = values;
  const lacks: readonly (readonly [boolean, number, string])[] = [
    [values.question === undefined, 1, 'the question'],
    [values.crop === undefined, 2, 'the crop'],
    [(values.diseases ?? []).length === 0, 2, 'the disease'],
    [treatments.length < 2, 3, 'a second treatment'],
    [
      !treatments.some(({ id }) => id === control),
      3,
      'which treatment the others are compared with',
    ],
    [!facts.ok, 5, 'a design that can be drawn'],
    [values.rounds === undefined, 6, 'the rounds'],
    [values.stripping === undefined, 6, 'what is stripped'],
    [values.outcome === undefined, 6, 'the main outcome'],
    [values.worthHaving === undefined, 6, 'the smallest difference worth having'],
    [values.method === undefined, 6, 'how it will be judged'],
    [draws.length === 0, 7, 'the layout'],
    [draws.length > 0 && !isDrawnFor(plan), 7, 'a layout drawn for the plan as it stands'],
  ];
  return lacks.flatMap(([isLacking, question, what]) => (isLacking ? [{ question, what }] : []));
}
