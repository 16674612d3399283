import type { LayoutRequest } from '@fairbed/trial';
import { type PowerQuestion, powerFault } from './question';

const moreBlocks = (request: LayoutRequest, blocks: number): LayoutRequest | undefined => {
  // A square is as large as its treatments; plots given for each treatment have no blocks to add.
  if (request.kind === 'latin-square' || request.replicates !== undefined) return undefined;
  return { ...request, blocks };
};

/**
 * The same trial made larger, for comparison: two more blocks (or plots of each treatment), twice as
 * many, and twice the plants in as many blocks. The trial itself comes first.
 */
export function largerTrials(question: PowerQuestion): readonly PowerQuestion[] {
  const { request, plantsPerPlot } = question;
  const blocks = [...new Set([request.blocks + 2, 2 * request.blocks])].sort((a, b) => a - b);
  const requests = blocks.map((n) => moreBlocks(request, n)).filter((one) => one !== undefined);
  return [
    question,
    { ...question, plantsPerPlot: 2 * plantsPerPlot },
    ...requests.map((larger) => ({ ...question, request: larger })),
  ].filter((one) => powerFault(one) === undefined);
}

/** Trials simulated of a plan, and of each larger one: fewer where each takes long to judge. */
const trials = { usual: 1000, 'split-plot': 100 } as const;
const shareForLarger = 0.4;

/** How many trials to simulate where nobody says: of the plan itself, or of a larger one. */
export function usualTrials({ request: { kind } }: PowerQuestion, larger: boolean): number {
  const planned = kind === 'split-plot' ? trials['split-plot'] : trials.usual;
  return larger ? planned * shareForLarger : planned;
}
