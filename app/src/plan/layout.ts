import {
  blocksByBaseline,
  type Cell,
  type Draw,
  drawLayout,
  fitPlots,
  type FitRequest,
  type LayoutRequest,
  type PlanValues,
  stakeCodes,
} from '@fairbed/trial';
import type { Day, Problem } from '@fairbed/field';
import { without } from '../writable';
import type { MorePlan } from './values';

export const usualBlocks = 4;

/** What the draw is asked for, from the plan as it stands. A Latin square is as wide as it is long. */
export function requestOf({ treatments = [], control, design }: PlanValues): LayoutRequest {
  const ids = treatments.map(({ id }) => id);
  const asked = design?.kind ?? 'randomised-blocks';
  const kind = asked === 'unreplicated' ? 'completely-randomised' : asked;
  const named = control !== undefined && ids.includes(control) ? control : undefined;
  const square = kind === 'latin-square' || kind === 'split-plot';
  const { perBlock, controlPlots, wholePlots } = design ?? {};
  return {
    kind,
    treatments: ids,
    blocks: kind === 'latin-square' ? ids.length : (design?.blocks ?? usualBlocks),
    ...(named === undefined ? {} : { control: named }),
    ...(named === undefined || controlPlots === undefined || square ? {} : { controlPlots }),
    ...(kind === 'incomplete-blocks' && perBlock !== undefined ? { perBlock } : {}),
    ...(kind === 'split-plot' && wholePlots !== undefined ? { wholePlots } : {}),
  };
}

/** Plots in each block; 1 where nothing is blocked, so that plots may lie anywhere. */
export function perBlockOf({
  kind,
  treatments,
  perBlock,
  controlPlots = 1,
}: LayoutRequest): number {
  if (kind === 'completely-randomised') return 1;
  if (kind === 'incomplete-blocks') return perBlock ?? 0;
  return kind === 'randomised-blocks' ? treatments.length - 1 + controlPlots : treatments.length;
}

/** Where the plots are to lie, or undefined while no bed is drawn. */
export function fitRequestOf(
  values: PlanValues,
  more: MorePlan,
  plots: number,
): FitRequest | undefined {
  const { beds = [], plotSize, buffer = 0, edge = 0 } = values;
  if (beds.length === 0 || plotSize === undefined) return undefined;
  const request = requestOf(values);
  const way = more.differs?.way;
  const perBlock = perBlockOf(request);
  return {
    beds: beds.map(({ x = 0, y = 0, ...bed }) => ({ ...bed, x, y })),
    plot: plotSize,
    buffer,
    edge,
    blocks: request.kind === 'completely-randomised' ? plots : request.blocks,
    perBlock,
    ...(request.kind === 'latin-square' ? { latin: true } : {}),
    ...(way === 'east' || way === 'north' ? { along: way } : {}),
  };
}

export type Places =
  | { readonly state: 'none' }
  | { readonly state: 'fit'; readonly cells: readonly Cell[]; readonly notes: readonly Problem[] }
  | { readonly state: 'fault'; readonly problem: Problem };

const canBaseline = ({ kind }: LayoutRequest): boolean =>
  kind === 'randomised-blocks' || kind === 'incomplete-blocks';

/**
 * The places of the plots, block by block. Where last week's disease forms the blocks, places keep
 * their numbers and are dealt into blocks by what was scored in them.
 */
export function placesOf(values: PlanValues, more: MorePlan, plots: number): Places {
  const asked = fitRequestOf(values, more, plots);
  if (asked === undefined) return { state: 'none' };
  const fit = fitPlots(asked);
  if (!fit.ok) return { state: 'fault', problem: fit.problem };
  const request = requestOf(values);
  const scored = more.baseline.some((value) => value !== null);
  if (more.differs?.way !== 'baseline' || !canBaseline(request) || !scored) {
    return { state: 'fit', cells: fit.cells, notes: [] };
  }
  const scores = fit.cells.map((_, i) => more.baseline[i]);
  const formed = blocksByBaseline(fit.cells, scores, asked.perBlock);
  if (!formed.ok) return { state: 'fault', problem: formed.problem };
  const cells = fit.cells.map((cell, i) => ({ ...cell, block: formed.blockOf[i] ?? cell.block }));
  return { state: 'fit', cells, notes: formed.notes };
}

export type Drawn =
  | { readonly ok: true; readonly draw: Draw }
  | { readonly ok: false; readonly problem: Problem };

type DrawAsk = {
  readonly seed: number;
  readonly day: Day;
  readonly why?: string;
};

/** Draws the layout of a plan: treatments by lot, a code for every stake, each plot in its place. */
export function drawFor(
  request: LayoutRequest,
  places: Places,
  { seed, day, why }: DrawAsk,
): Drawn {
  if (places.state === 'fault') return { ok: false, problem: places.problem };
  const drawn = drawLayout(request, seed);
  if (!drawn.ok) return drawn;
  const codes = stakeCodes(drawn.plots.length, seed);
  // Plots number their places as the beds show them; the draw goes block by block.
  const numbered =
    places.state === 'fit' ? places.cells.map((cell, i) => ({ cell, number: i })) : [];
  const inTurn = numbered.toSorted((a, b) => a.cell.block - b.cell.block || a.number - b.number);
  const layout = drawn.plots.map((plot, i) => {
    const at = inTurn[i];
    const number = at?.number ?? i;
    return {
      plot: `${number + 1}`,
      code: codes[number] ?? `${number + 1}`,
      ...plot,
      ...(at === undefined ? {} : { place: placeOf(at.cell) }),
    };
  });
  const ordered = layout.toSorted((a, b) => Number(a.plot) - Number(b.plot));
  return {
    ok: true,
    draw: {
      seed,
      day,
      ...(why === undefined ? {} : { why }),
      layout: ordered,
      request: writable(request),
    },
  };
}

const placeOf = ({ bed, x, y, width, height }: Cell) => ({ bed, x, y, width, height });

const writable = ({ treatments, wholePlots, ...rest }: LayoutRequest): Draw['request'] => ({
  ...without(rest, 'replicates'),
  treatments: [...treatments],
  ...(wholePlots === undefined
    ? {}
    : { wholePlots: wholePlots.map(({ id, treatments: ids }) => ({ id, treatments: [...ids] })) }),
});
