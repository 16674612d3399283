import type { Problem } from '@fairbed/field';
import { present } from '../present';
import type { Trial } from '../schema';
import { departuresOf } from './departures';
import { sprayerFigures } from './departures-course';
import { foldDiary } from './fold-diary';
import {
  type Fold,
  foldBlocks,
  foldControl,
  type FoldedRounds,
  foldPlants,
  foldPlots,
  foldRounds,
  foldTreatments,
} from './fold-parts';
import { foldScores } from './fold-scores';
import { drawsOf, planOf, revealOf, sealed } from './plan';
import { type RecordSource } from './source';
import { readScoreThing } from './things';
import type { PlanValues } from './values';

/** A trial folded from its ledger, and whatever had to be left out of it. */
export type FoldedTrial = { readonly trial: Trial; readonly problems: readonly Problem[] };

function designOf({ plan, draws }: Fold): Trial['design'] {
  const draw = draws.at(-1);
  const kind = draw?.value.request.kind ?? plan.design?.kind ?? 'unreplicated';
  return draw === undefined ? { kind } : { kind, seed: draw.value.seed, randomised: true };
}

/**
 * Rounds with a figure entered, changed or taken back after the reveal, or entered by somebody who
 * had seen the page for spraying; all may have been seen.
 */
function seenRounds(source: RecordSource, { byId }: FoldedRounds): ReadonlySet<string> {
  const reveal = revealOf(source);
  const sprayers = sprayerFigures(source).flatMap(({ things }) => things);
  const seen = new Set(
    sprayers.flatMap((thing) => byId.get(readScoreThing(thing)?.round ?? '')?.id ?? []),
  );
  if (reveal === undefined) return seen;
  for (const [thing, { clock, value }] of source.everWritten('score')) {
    if (clock <= reveal.entry.clock) continue;
    const first = source.history('score', thing)[0];
    // Entered after it and taken back again: nothing of it is left.
    if (value === null && first !== undefined && first.clock > reveal.entry.clock) continue;
    const round = byId.get(readScoreThing(thing)?.round ?? '');
    if (round !== undefined) seen.add(round.id);
  }
  return seen;
}

/**
 * A round was scored blind where stakes carry codes, the plan does not say that the scorer knew,
 * and no figure of it was entered after the reveal or by whoever had seen the page for spraying.
 */
function blindRounds(fold: Fold, rounds: FoldedRounds, scored: ReadonlySet<string>) {
  const seen = seenRounds(fold.source, rounds);
  const coded = fold.draws.length > 0 && fold.plan.blind !== false;
  return rounds.rounds.map((round) =>
    scored.has(round.id)
      ? { ...round, blind: coded && round.blind !== false && !seen.has(round.id) }
      : round,
  );
}

function planPart(fold: Fold, rounds: Trial['rounds'], scored: ReadonlySet<string>) {
  const { plan, draws, source } = fold;
  const state = sealed(source);
  const held = rounds.filter(({ id }) => scored.has(id));
  const sealedDraw = state.sealed ? numberOfSealed(state.text) : undefined;
  const part: NonNullable<Trial['plan']> = present({
    outcome: plan.outcome,
    smallestDifferencePercent: plan.worthHaving,
    blind: held.length === 0 ? undefined : held.every(({ blind }) => blind === true),
    rounds: plan.rounds,
    looks: plan.looks,
    stripping: plan.stripping,
    judgedBy: plan.judgedBy,
    method: plan.method,
    plantsPerPlot: plan.plantsPerPlot,
    plotSize: plan.plotSize,
    harvestDay: plan.harvestDay,
    draws:
      draws.length === 0
        ? undefined
        : draws.map(({ number, value: { seed, day, why } }) => present({ number, seed, day, why })),
    sealed: state.sealed
      ? present({ hash: state.hash, day: state.day, draw: sealedDraw })
      : undefined,
  });
  return Object.keys(part).length === 0 ? undefined : part;
}

function numberOfSealed(text: string): number | undefined {
  const { draw } = JSON.parse(text) as { readonly draw?: { readonly number?: unknown } };
  const number = draw?.number;
  return typeof number === 'number' && Number.isInteger(number) && number >= 1 ? number : undefined;
}

const headOf = (id: string, plan: PlanValues) =>
  present({
    format: 'fairbed-trial' as const,
    version: 1 as const,
    id: id === '' ? 'trial' : id.slice(0, 200),
    title: plan.title ?? 'Untitled trial',
    question: plan.question,
    note: plan.note,
    crop: plan.crop,
    diseases: plan.diseases ?? [],
    garden: plan.garden,
    beds: plan.beds ?? [],
    gradeScale: plan.gradeScale,
    valueMeasure: plan.valueMeasure,
  });

const someOf = <T>(list: readonly T[]): T[] | undefined =>
  list.length > 0 ? [...list] : undefined;

/** Each note with an id of its own; those made of scores give way. */
function ownIds(notes: NonNullable<Trial['notes']>): NonNullable<Trial['notes']> {
  const seen = new Set<string>();
  return notes.map((note) => {
    let { id } = note;
    for (let n = 2; seen.has(id); n++) id = `${note.id.slice(0, 190)} ${n}`;
    seen.add(id);
    return { ...note, id };
  });
}

/**
 * The trial document of a ledger: a fold over the values that stand, the same for the same entries
 * whatever the order in which they came. Every document it gives is one that {@link readTrial}
 * takes. What refers to nothing (a score of a plot that a later draw did away with, a spray of a
 * treatment that was deleted) is left out of the document and reported; it stays in the ledger.
 * Problems are rows for a person, not a reason to stop.
 */
export function trialFrom(id: string, source: RecordSource): FoldedTrial {
  const problems: Problem[] = [];
  const report = (problem: Problem): void => void problems.push(problem);
  const fold: Fold = {
    source,
    plan: planOf(source, report),
    draws: drawsOf(source, report),
    report,
  };
  const treatments = foldTreatments(fold);
  const plots = foldPlots(fold);
  const rounds = foldRounds(fold);
  const head = headOf(id, fold.plan);
  const scored = foldScores(source, {
    rounds: rounds.byId,
    plots: plots.map((plot) => plot.id),
    diseases: head.diseases.map((disease) => disease.id),
    grades: head.gradeScale?.classes,
    valueNamed: head.valueMeasure !== undefined,
  });
  const diary = foldDiary(fold, {
    plots: new Set(plots.map((plot) => plot.id)),
    treatments: new Set(treatments.map((treatment) => treatment.id)),
    rounds: rounds.byId,
  });
  const scoredRounds = new Set(scored.scores.map(({ round }) => round));
  const held = blindRounds(fold, rounds, scoredRounds);
  const trial: Trial = present({
    ...head,
    treatments,
    control: foldControl(fold),
    design: designOf(fold),
    blocks: foldBlocks(plots),
    plots,
    plants: foldPlants(fold, plots, scored.scores),
    rounds: held,
    scores: scored.scores,
    times: [],
    sprays: diary.sprays,
    events: diary.events,
    harvests: diary.harvests,
    plan: planPart(fold, held, scoredRounds),
    reveal: revealOf(source)?.value,
    departures: someOf(departuresOf(source)),
    skipped: someOf(scored.skipped),
    photos: someOf(diary.photos),
    notes: someOf(ownIds([...diary.notes, ...scored.notes])),
  });
  return { trial, problems: [...problems, ...scored.problems] };
}
