import { ModelError } from '@fairbed/stats';
import type { FixedEffect } from './judgement';
import type { ScoreRows } from './score-rows';

/** A model's figures with what must be said about them, or why there are none. */
export type Modelled<T> =
  | { readonly known: true; readonly value: T; readonly notes: readonly string[] }
  | { readonly known: false; readonly why: string };

type Coefficients = readonly {
  readonly name: string;
  readonly estimate: number;
  readonly se: number | undefined;
  readonly p: number | undefined;
}[];

export const fixedEffects = (table: Coefficients): FixedEffect[] =>
  table.map(({ name, estimate, se, p }) => ({ name, estimate, se: se ?? null, p: p ?? null }));

export const fixedOf = ({ treatment }: ScoreRows, control: string) => ({
  factors: [{ ...treatment, reference: control }],
});

export const sds = (groups: readonly { readonly name: string; readonly sd: number }[]) =>
  Object.fromEntries(groups.map(({ name, sd }) => [name, sd]));

const whyOf = ({ message }: ModelError): string =>
  message.includes('reference level')
    ? 'No plot of the control was scored, so this model has nothing to compare with.'
    : message;

/** Runs a fit; a question the data can't be asked becomes a reason, any other error is ours. */
export function modelled<T>(fit: () => { value: T; notes: string[] }): Modelled<T> {
  try {
    return { known: true, ...fit() };
  } catch (error) {
    if (error instanceof ModelError) return { known: false, why: whyOf(error) };
    throw error;
  }
}
