import type { Problem } from '@fairbed/field';
import type { PowerFigures, PowerQuestion } from '@fairbed/verdict';

/** Questions to simulate one after another, each with its number of trials. */
export type PowerOrder = {
  readonly questions: readonly { readonly question: PowerQuestion; readonly trials: number }[];
};

/** What the worker says while it simulates. */
export type PowerWord =
  | { readonly kind: 'figures'; readonly index: number; readonly figures: PowerFigures }
  | { readonly kind: 'refused'; readonly index: number; readonly problem: Problem }
  | { readonly kind: 'done' };
