import type { Problem } from '@fairbed/field';
import type { Mapping, Measure } from '@fairbed/files';
import { without } from '../writable';

/** How one sheet is read: its columns, and what the grower answered. Plain data, kept as JSON. */
export type Answers = {
  readonly mapping: Mapping;
  /** Name of the untreated control; null: there is none. Absent until it is answered. */
  readonly control?: string | null;
  /** Lowest and highest grade of the scale, whole steps between. */
  readonly grades?: readonly [number, number];
  /** Which end of the grades is a healthy plant. */
  readonly healthy?: 'lowest' | 'highest';
  /** Whether less or more of the number is better. */
  readonly better?: 'lower' | 'higher';
  /** Treatments written in two ways, as settled. A name that means itself is one of its own. */
  readonly spellings: readonly { readonly written: string; readonly means: string }[];
  /** What the grower said that groups of like columns measure, by the column a group begins with. */
  readonly measured: readonly { readonly first: string; readonly measure: Measure }[];
};

/** Nothing answered yet. */
export const firstAnswers = (mapping: Mapping): Answers => ({
  mapping,
  spellings: [],
  measured: [],
});

/** A question of the sheet; one on spelling carries the name that was written. */
export type OpenProblem = Problem & { readonly written?: string };

/** What the worker found of a sheet read with some answers, as far as questions rest on it. */
export type Asking = {
  readonly questions: readonly OpenProblem[];
  readonly treatments: readonly string[];
  /** Name of a figure that may be better high or low; absent where there is none. */
  readonly figure?: string;
  /** Least and most of the grades that stand in the sheet. */
  readonly gradesSeen?: readonly [number, number];
};

/** The answers after a column was taken for something else: what hung on the column is asked anew. */
export function withMapping(answers: Answers, mapping: Mapping): Answers {
  const treatment = (m: Mapping): string | undefined =>
    m.columns.find(({ role }) => role === 'treatment')?.column;
  if (treatment(answers.mapping) === treatment(mapping)) return { ...answers, mapping };
  return { ...without(answers, 'control'), mapping, spellings: [] };
}

/** All grades of the scale that was named, for the reader of the sheet. */
export const gradeClasses = ({ grades }: Answers): readonly number[] | undefined =>
  grades && Array.from({ length: grades[1] - grades[0] + 1 }, (_, i) => grades[0] + i);

/** The grade that means healthy, once the scale and the healthy end are both named. */
export function healthyGrade({ grades, healthy }: Answers): number | undefined {
  if (!grades || !healthy) return undefined;
  return healthy === 'lowest' ? grades[0] : grades[1];
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * Answers as they were kept on this device the last time; undefined for anything that was not
 * written by this version.
 */
export function keptAnswers(kept: unknown): Answers | undefined {
  if (!isRecord(kept) || !isRecord(kept.mapping) || kept.mapping.version !== 1) return undefined;
  const lists = [kept.mapping.columns, kept.spellings, kept.measured];
  return lists.every(Array.isArray) ? (kept as unknown as Answers) : undefined;
}
