import type { Json } from '@fairbed/notebook';
import type { PlanValues, Treatment } from '@fairbed/trial';
import { type Guess, readGuess } from './guess';

/** Which way the ground differs, and in what: blocks are laid along it. */
export type Differs = {
  readonly way: 'none' | 'east' | 'north' | 'baseline';
  readonly what?: string;
};

/** What the plan page keeps beside the fields a trial document has. */
export type MorePlan = {
  /** Outer rows and outer plants of each row that are not scored. */
  readonly guardRows: number;
  readonly differs: Differs | undefined;
  /** What was scored in every place before any treatment, in the order of the places. */
  readonly baseline: readonly (number | null)[];
  /** What is expected of the bed, for the chance to show a difference. */
  readonly guess: Guess;
};

const ways: ReadonlySet<unknown> = new Set<Differs['way']>(['none', 'east', 'north', 'baseline']);
const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function readDiffers(value: unknown): Differs | undefined {
  if (!isRecord(value) || !ways.has(value.way)) return undefined;
  const way = value.way as Differs['way'];
  return typeof value.what === 'string' ? { way, what: value.what } : { way };
}

const readGuards = (value: unknown): number =>
  typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 20 ? value : 0;

const readBaseline = (value: unknown): readonly (number | null)[] =>
  Array.isArray(value)
    ? value.map((one: unknown) => (typeof one === 'number' && Number.isFinite(one) ? one : null))
    : [];

/** Reads the plan page's own fields; what has another shape counts as not answered. */
export const readMore = (current: (field: string) => Json | undefined): MorePlan => ({
  guardRows: readGuards(current('guardRows')),
  differs: readDiffers(current('differs')),
  baseline: readBaseline(current('baseline')),
  guess: readGuess(current('guess')),
});

/** `t4` where t1 to t3 were ever in the list: an id that stands for something else never returns. */
export function nextId(prefix: string, ids: readonly string[]): string {
  const taken = ids.map((id) => (id.startsWith(prefix) ? Number(id.slice(prefix.length)) : NaN));
  return `${prefix}${Math.max(0, ...taken.filter(Number.isInteger)) + 1}`;
}

export type TreatmentKind = Exclude<Treatment['kind'], 'unstated'>;

export const untreated: Treatment = { id: 't1', name: 'Untreated', kind: 'untreated' };

/** What a new plan begins with: the untreated control, and figures to start from. */
export const firstAnswers = {
  treatments: [untreated],
  control: untreated.id,
  design: { kind: 'randomised-blocks', blocks: 4 },
  plotSize: { width: 0.8, length: 0.9 },
  buffer: 0.3,
  edge: 0.2,
  spacing: { inRow: 0.3, betweenRows: 0.3 },
  plantsPerPlot: 4,
} as const satisfies PlanValues;
