import {
  drawsOf,
  layoutFacts,
  type LayoutFacts,
  type LayoutRequest,
  type PlanField,
  planOf,
  type PlanValues,
  sealed,
  type SealState,
} from '@fairbed/trial';
import { useEffect, useMemo, useState } from 'react';
import { useAnnounce } from '../Announcer';
import type { OpenBook } from '../book/liveBook';
import { useThings } from '../book/useBook';
import { type Places, placesOf, requestOf } from './layout';
import { asJson } from './json';
import { createPowerDesk, type PowerDesk } from './powerDesk';
import { today } from './today';
import { type MorePlan, readMore } from './values';

/** A field of the plan, of the document or of this page alone. */
export type Field = PlanField | keyof MorePlan;

export type NumberedDraw = ReturnType<typeof drawsOf>[number];

/** Answers to write; null takes one back. */
export type Answers = {
  readonly [F in PlanField]?: PlanValues[F] | null;
} & { readonly [F in keyof MorePlan]?: MorePlan[F] | null };

/** The plan as it stands, what follows from it, and how to change it. */
export type Plan = {
  readonly open: OpenBook;
  readonly values: PlanValues;
  readonly more: MorePlan;
  readonly request: LayoutRequest;
  readonly facts: LayoutFacts;
  readonly places: Places;
  readonly draws: readonly NumberedDraw[];
  readonly seal: SealState;
  readonly set: (answers: Answers) => void;
  /** Fields changed after the seal for which no reason is given yet. */
  readonly unexplained: readonly Field[];
  readonly explain: (why: string) => void;
  /** Every id that was ever in a list of the plan, those taken off it too. */
  readonly everIds: (field: 'treatments' | 'beds') => readonly string[];
  /** What could not be written, in words. */
  readonly refused: string | undefined;
  /** Where the chance to show a difference is worked out. */
  readonly power: PowerDesk;
};

/** Where things lie, how they are called, what is guessed: changing them departs from nothing that was sealed. */
const free: ReadonlySet<string> = new Set(['title', 'note', 'garden', 'beds', 'guess']);

/** What each field is called in a sentence about changing it. */
export const fieldNames: Readonly<Partial<Record<Field, string>>> = {
  question: 'the question',
  crop: 'the crop',
  diseases: 'the diseases',
  treatments: 'the treatments',
  control: 'the control',
  design: 'the design',
  outcome: 'the main outcome',
  worthHaving: 'the smallest difference worth having',
  rounds: 'the rounds',
  stripping: 'what is stripped',
  judgedBy: 'what the verdict rests on',
  looks: 'when a winner may be called',
  method: 'how it is judged',
  plantsPerPlot: 'the plants scored in a plot',
  plotSize: 'the size of the plots',
  harvestDay: 'the day of the first harvest',
  spacing: 'the spacing',
  buffer: 'the gap between plots',
  edge: 'the guard strip',
  guardRows: 'the guard rows',
  differs: 'what differs along the beds',
  baseline: "last week's disease",
};

export const namesOf = (fields: readonly Field[]): string =>
  fields.map((field) => fieldNames[field] ?? field).join(', ');

function useStanding(open: OpenBook) {
  const entries = useThings(open, 'plan');
  const drawn = useThings(open, 'draw');
  const seals = useThings(open, 'seal');
  const read = useMemo(
    () => ({
      values: planOf(open.source),
      more: readMore((field) => open.book.current('plan', field)),
    }),
    // The book is one object for ever; its standing entries say when it has changed.
    [open, entries],
  );
  const draws = useMemo(() => drawsOf(open.source), [open, drawn]);
  const seal = useMemo(() => sealed(open.source), [open, seals, entries, drawn]);
  return { ...read, draws, seal };
}

/** A layout is worked out anew only where what it rests on has changed. */
function useLayout(values: PlanValues, more: MorePlan) {
  const request = requestOf(values);
  const asked = JSON.stringify(request);
  const facts = useMemo(() => layoutFacts(JSON.parse(asked) as LayoutRequest), [asked]);
  const plots = facts.ok ? facts.plots : 0;
  const { beds, plotSize, buffer, edge } = values;
  const ground = JSON.stringify([beds, plotSize, buffer, edge, more.differs, more.baseline]);
  const places = useMemo<Places>(
    () => (plots === 0 ? { state: 'none' } : placesOf(values, more, plots)),
    [asked, ground, plots],
  );
  return { request, facts, places };
}

function everIdsIn(open: OpenBook, field: string): readonly string[] {
  return open.source
    .history('plan', field)
    .flatMap(({ value }) => (Array.isArray(value) ? (value as unknown[]) : []))
    .flatMap((one) => {
      const { id } = (one ?? {}) as { readonly id?: unknown };
      return typeof id === 'string' ? [id] : [];
    });
}

function useExplaining(open: OpenBook) {
  const [unexplained, setUnexplained] = useState<readonly Field[]>([]);
  const explain = (why: string): void => {
    const text = why.trim();
    if (text !== '') {
      const words = `Changed after the plan was sealed: ${namesOf(unexplained)}. Why: ${text}`;
      const value = { text: words, day: today() };
      void open.write('note', `why-${crypto.randomUUID()}`, value);
    }
    setUnexplained([]);
  };
  const changed = (fields: readonly Field[]): void =>
    setUnexplained((was) => [...new Set([...was, ...fields.filter((field) => !free.has(field))])]);
  return { unexplained, explain, changed };
}

/** The plan of an open book, followed. */
export function usePlan(open: OpenBook): Plan {
  const announce = useAnnounce();
  const standing = useStanding(open);
  const layout = useLayout(standing.values, standing.more);
  const [refused, setRefused] = useState<string>();
  const { unexplained, explain, changed } = useExplaining(open);
  const [power] = useState(createPowerDesk);
  useEffect(() => power.stop, [power]);
  const set: Plan['set'] = (answers) => {
    const lines = Object.entries(answers).map(([thing, value]) => ({
      kind: 'plan',
      thing,
      value: asJson(value),
    }));
    open.writeAll(lines).then(
      () => {
        setRefused(undefined);
        announce('Saved.');
      },
      (fault: unknown) => setRefused(fault instanceof Error ? fault.message : String(fault)),
    );
    if (standing.seal.sealed) changed(Object.keys(answers) as Field[]);
  };
  const everIds: Plan['everIds'] = (field) => everIdsIn(open, field);
  return { open, ...standing, ...layout, set, unexplained, explain, everIds, refused, power };
}
