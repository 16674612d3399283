import type { Problem } from '@fairbed/field';
import { type Layouts, layoutsOf } from '../layouts';
import { evenPairs, type EvenPairs } from './even-pairs';
import { completeBlock, type LayoutRequest, requestFault } from './request';

/** A plot of the draw; plots come in the order of the bed's cells, block by block. */
export type DrawnPlot = {
  readonly treatment: string;
  readonly block?: string;
  readonly row?: string;
  readonly column?: string;
  readonly wholePlot?: string;
};

/** A request written out in order, nothing drawn yet, and the layouts it stands among. */
export type Outline = {
  readonly plots: readonly DrawnPlot[];
  readonly layouts: Layouts;
  readonly pairs?: EvenPairs;
};

const upTo = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
const name = (i: number): string => `${i + 1}`;

function squareInOrder({ treatments }: LayoutRequest): DrawnPlot[] {
  const order = treatments.length;
  return upTo(order).flatMap((r) =>
    upTo(order).map((c) => ({
      treatment: treatments[(r + c) % order] ?? '',
      row: name(r),
      column: name(c),
    })),
  );
}

function wholePlotsInOrder({ blocks, wholePlots = [] }: LayoutRequest): DrawnPlot[] {
  return upTo(blocks).flatMap((b) =>
    wholePlots.flatMap((group, w) =>
      group.treatments.map((treatment) => ({
        treatment,
        block: name(b),
        wholePlot: name(b * wholePlots.length + w),
      })),
    ),
  );
}

function incompleteInOrder(request: LayoutRequest): [DrawnPlot[], EvenPairs] {
  const { treatments, control, controlPlots = 0, blocks, perBlock = 0 } = request;
  const dealt = controlPlots > 0 ? treatments.filter((id) => id !== control) : treatments;
  const pairs = evenPairs({
    treatments: dealt.length,
    blocks,
    perBlock: perBlock - controlPlots,
  });
  const fixed = Array<string>(controlPlots).fill(control ?? '');
  const plots = pairs.blocks.flatMap((block, b) =>
    [...fixed, ...block.map((t) => dealt[t] ?? '')].map((treatment) => ({
      treatment,
      block: name(b),
    })),
  );
  return [plots, pairs];
}

function inOrder(request: LayoutRequest): [DrawnPlot[], EvenPairs?] {
  const { kind, treatments, blocks, replicates, control, controlPlots = 1 } = request;
  switch (kind) {
    case 'completely-randomised':
      return [
        treatments.flatMap((treatment, t) =>
          upTo(replicates?.[t] ?? blocks * (treatment === control ? controlPlots : 1)).map(() => ({
            treatment,
          })),
        ),
      ];
    case 'randomised-blocks':
      return [
        upTo(blocks).flatMap((b) =>
          completeBlock(request).map((treatment) => ({ treatment, block: name(b) })),
        ),
      ];
    case 'latin-square':
      return [squareInOrder(request)];
    case 'split-plot':
      return [wholePlotsInOrder(request)];
    case 'incomplete-blocks':
      return incompleteInOrder(request);
  }
}

/** The layouts of plots, by the very code that the exact test of the trial asks. */
export const layoutsAmong = (
  { kind, treatments }: LayoutRequest,
  plots: readonly DrawnPlot[],
): Layouts | undefined =>
  layoutsOf({
    design: { kind },
    treatments: treatments.map((id) => ({ id })),
    plots: plots.map((plot, i) => ({ id: `${i}`, ...plot })),
  });

/** The request in order with its layouts, or what is wrong with it. */
export function outline(request: LayoutRequest): Outline | Problem {
  const wrong = requestFault(request);
  if (wrong !== undefined) return wrong;
  const [plots, pairs] = inOrder(request);
  if (pairs !== undefined && pairs.parts > 1 && (request.controlPlots ?? 0) === 0) {
    return {
      kind: 'fault',
      code: 'blocks-apart',
      what: 'The blocks fall into groups that share no treatment, so treatments of two groups can not be compared.',
      do: 'Add a block, or put the control in every block.',
    };
  }
  const layouts = layoutsAmong(request, plots);
  // A request without fault always has layouts; the check is for the type.
  if (layouts === undefined) throw new Error('A plan in order has no layouts.');
  return { plots, layouts, ...(pairs === undefined ? {} : { pairs }) };
}
