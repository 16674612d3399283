import { type DesignKind, layoutFacts, type LayoutRequest } from '@fairbed/trial';
import { without } from '../writable';
import { leastText } from './figures';

type PlanKind = LayoutRequest['kind'];

export type DesignWords = {
  readonly id: PlanKind;
  readonly title: string;
  readonly plain: string;
};

/** The designs in the order they are offered, in plain words. */
export const designs: readonly DesignWords[] = [
  {
    id: 'randomised-blocks',
    title: 'Blocks',
    plain:
      'The ground is cut into blocks that are alike within. Every block holds every treatment once, in an order drawn by lot. Serves nearly every garden.',
  },
  {
    id: 'completely-randomised',
    title: 'No blocks',
    plain:
      'Every treatment stands in so many plots, anywhere, drawn by lot. For ground that is alike all over, such as pots on one bench.',
  },
  {
    id: 'latin-square',
    title: 'Latin square',
    plain:
      'As many rows and columns as treatments; every treatment stands once in each row and once in each column. For ground that differs in two directions at once.',
  },
  {
    id: 'incomplete-blocks',
    title: 'Small blocks',
    plain:
      'Blocks too small for all treatments; each pair of treatments meets in as many blocks as can be. For many treatments in small beds.',
  },
  {
    id: 'split-plot',
    title: 'Split plot',
    plain:
      'A practice on whole stretches of a bed, such as watering hour, and sprays on plots within each. For what can’t be done plot by plot.',
  },
];

export const designWords = (kind: DesignKind): DesignWords | undefined =>
  designs.find(({ id }) => id === kind);

const line = 0.05;
const fewestBlocks = 4;
const mostBlocks = 12;
/** Fewer than this leave the plots’ own spread badly known. */
const fewestErrorDf = 5;

export type Advice = { readonly kind: PlanKind; readonly blocks: number; readonly why: string };

/** The fewest blocks, four at least, with which a difference can be shown at 0.05. */
export function enoughBlocks(request: LayoutRequest): number | undefined {
  for (let blocks = fewestBlocks; blocks <= mostBlocks; blocks++) {
    const facts = layoutFacts({ ...request, kind: 'randomised-blocks', blocks });
    if (!facts.ok) return undefined;
    const { smallestP, errorDf } = facts;
    if (smallestP !== null && smallestP <= line && errorDf >= fewestErrorDf) return blocks;
  }
  return undefined;
}

/** The design to recommend for these treatments; undefined while there are fewer than two. */
export function adviceFor(request: LayoutRequest): Advice | undefined {
  const bare = without(without(request, 'perBlock'), 'wholePlots');
  const plain: LayoutRequest = { ...bare, kind: 'randomised-blocks' };
  const blocks = enoughBlocks(plain);
  if (blocks === undefined) return undefined;
  const facts = layoutFacts({ ...plain, blocks });
  const p = facts.ok && facts.smallestP !== null ? facts.smallestP : undefined;
  const reach = p === undefined ? '' : ` With ${blocks} it can reach a p-value of ${leastText(p)}.`;
  const why =
    blocks === fewestBlocks
      ? `Four blocks are enough to show a difference and to lose a plot.${reach}`
      : `With so few treatments fewer blocks can’t show a difference, however large.${reach}`;
  return { kind: 'randomised-blocks', blocks, why };
}
