import type { Trial } from '../schema';
import { byNumber } from './fold-scores';

/** `lost`: the plant or its plot was gone by the end of the day of the round; nothing is missing. */
export type PlantState = 'scored' | 'skipped' | 'missing' | 'lost';

/** A plant to be scored at a round; a plot scored in whole has one without `plant`. */
export type RoundPlant = {
  readonly plot: string;
  readonly plant?: string;
  readonly state: PlantState;
  /** Why it was skipped, in the scorer's words. */
  readonly why?: string;
};

export type RoundPlot = {
  readonly plot: string;
  readonly plants: readonly RoundPlant[];
} & Readonly<Record<PlantState, number>>;

export type RoundState = {
  readonly round: string;
  /** In the order of the trial's plots. */
  readonly plots: readonly RoundPlot[];
  /** Nothing is missing, and something was scored or skipped. */
  readonly complete: boolean;
} & Readonly<Record<PlantState, number>>;

const count = (plants: readonly RoundPlant[]): Record<PlantState, number> => {
  const counts = { scored: 0, skipped: 0, missing: 0, lost: 0 };
  for (const { state } of plants) counts[state]++;
  return counts;
};

type Lost = { readonly day?: string | undefined } | undefined;
type RoundRow = Trial['rounds'][number];

/** Lost by the day of the round (where one finds it lost, as a rule), or on a day nobody wrote down. */
const goneBy = (lost: Lost, { day }: RoundRow): boolean =>
  lost !== undefined && (lost.day === undefined || day === undefined || lost.day <= day);

/** Ids of the plants of every plot that are to be scored, and which of them are lost. */
function plantsByPlot(trial: Trial, round: RoundRow) {
  const plants = new Map<string, Map<string, boolean>>(
    trial.plots.map(({ id }) => [id, new Map()]),
  );
  for (const { plot, id, guard, lost } of trial.plants) {
    if (guard !== true) plants.get(plot)?.set(id, goneBy(lost, round));
  }
  if (trial.plants.length > 0) return plants;
  // A trial that lists no plants: those that were ever scored.
  for (const { plot, plant } of trial.scores) {
    if (plant !== undefined) plants.get(plot)?.set(plant, false);
  }
  return plants;
}

const unit = (plot: string, plant: string | undefined): string =>
  `${plot.length}:${plot}${plant === undefined ? '' : `/${plant}`}`;

/**
 * What is done and what is left of a round: which plants were scored (some figure is written down),
 * skipped with a reason, missing, or lost before it. Guard plants are left out. A plot that was
 * scored in whole counts as one; so does a plot without plants. Undefined for an unknown round.
 */
export function roundState(trial: Trial, round: string): RoundState | undefined {
  const row = trial.rounds.find(({ id }) => id === round);
  if (row === undefined) return undefined;
  const scored = new Set(
    trial.scores
      .filter((score) => score.round === round)
      .map(({ plot, plant }) => unit(plot, plant)),
  );
  const skips = new Map(
    (trial.skipped ?? [])
      .filter((skip) => skip.round === round)
      .map(({ plot, plant, why }) => [unit(plot, plant), why]),
  );
  const listed = plantsByPlot(trial, row);
  const plots = trial.plots.map(({ id: plot, lost }): RoundPlot => {
    const own = [...(listed.get(plot) ?? [])].sort(([a], [b]) => byNumber(a, b));
    const whole = unit(plot, undefined);
    const units: readonly (readonly [string | undefined, boolean])[] =
      own.length === 0 || scored.has(whole) ? [[undefined, false]] : own;
    const plants = units.map(([plant, dead]): RoundPlant => {
      const key = unit(plot, plant);
      const why = skips.get(key) ?? skips.get(whole);
      const at = plant === undefined ? { plot } : { plot, plant };
      if (scored.has(key)) return { ...at, state: 'scored' };
      if (dead || goneBy(lost, row)) return { ...at, state: 'lost' };
      return why === undefined ? { ...at, state: 'missing' } : { ...at, state: 'skipped', why };
    });
    return { plot, plants, ...count(plants) };
  });
  const totals = count(plots.flatMap(({ plants }) => plants));
  const complete = totals.missing === 0 && totals.scored + totals.skipped > 0;
  return { round, plots, complete, ...totals };
}
