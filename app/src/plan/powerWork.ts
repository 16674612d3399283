import type { Problem } from '@fairbed/field';
import type { PowerFigures, PowerQuestion } from '@fairbed/verdict';

/** One question to simulate, with its number of trials; `index` is its place among all asked. */
export type PowerOrder = {
  readonly index: number;
  readonly question: PowerQuestion;
  readonly trials: number;
};

/** What the worker says while it simulates. */
export type PowerWord =
  | { readonly kind: 'figures'; readonly index: number; readonly figures: PowerFigures }
  | { readonly kind: 'refused'; readonly index: number; readonly problem: Problem }
  | { readonly kind: 'done'; readonly index: number };
