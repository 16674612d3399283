import type { Problem } from '@fairbed/field';
import type { DesignKind } from '../schema';

/** What a grower asks of the draw. */
export type LayoutRequest = {
  readonly kind: Exclude<DesignKind, 'unreplicated'>;
  /** Ids of the treatments, the control among them, each once. */
  readonly treatments: readonly string[];
  readonly control?: string;
  /**
   * Plots of the control for each one of the others: 1 where left out. In incomplete blocks the
   * control stands so often in every block; left out, it is dealt like the others.
   */
  readonly controlPlots?: number;
  /** Blocks; the rows of a Latin square; the plots of each treatment where nothing is blocked. */
  readonly blocks: number;
  /** Completely randomised: plots of each treatment, in their order, in place of `blocks`. */
  readonly replicates?: readonly number[];
  /** Incomplete blocks: plots a block holds. */
  readonly perBlock?: number;
  /** Split plot: the treatments that go together in one whole plot. */
  readonly wholePlots?: readonly {
    readonly id: string;
    readonly treatments: readonly string[];
  }[];
};

/** More than a garden holds; keeps a slip of the finger from taking all memory. */
const mostPlots = 2000;
const mostTreatments = 60;
/** Above it a block is no longer a place where plots are alike. */
const largestSquare = 12;

const fault = (code: string, what: string, remedy: string): Problem => ({
  kind: 'fault',
  code,
  what,
  do: remedy,
});

const isCount = (n: number, least = 1): boolean => Number.isInteger(n) && n >= least;

function treatmentFault({ treatments, control }: LayoutRequest): Problem | undefined {
  const n = treatments.length;
  if (n < 2) {
    return fault(
      'too-few-treatments',
      `A trial compares at least 2 treatments; there ${n === 1 ? 'is 1' : 'are none'}.`,
      'Add an untreated control, or another treatment.',
    );
  }
  if (n > mostTreatments) {
    return fault(
      'too-many-treatments',
      `A draw takes at most ${mostTreatments} treatments; there are ${n}.`,
      'Leave some for another trial.',
    );
  }
  const twice = treatments.find((id, i) => treatments.indexOf(id) !== i);
  if (twice !== undefined) {
    return fault(
      'treatment-twice',
      `Treatment ${twice} is named twice.`,
      'Name each treatment once; for more plots of it, raise its number of plots.',
    );
  }
  if (control !== undefined && !treatments.includes(control)) {
    return fault(
      'control-unknown',
      `The control ${control} is not among the treatments.`,
      'Add it to the treatments, or name another control.',
    );
  }
  return undefined;
}

function controlFault({ kind, control, controlPlots }: LayoutRequest): Problem | undefined {
  if (controlPlots === undefined) return undefined;
  if (!isCount(controlPlots)) {
    return fault(
      'control-plots',
      `The control's plots must be 1 or more; got ${controlPlots}.`,
      'Give a whole number, or leave it out.',
    );
  }
  if (control === undefined) {
    return fault(
      'control-plots-without-control',
      'Plots of the control are asked for, but no control is named.',
      'Name the control.',
    );
  }
  if (controlPlots > 1 && (kind === 'latin-square' || kind === 'split-plot')) {
    return fault(
      'control-plots-here',
      `A ${kind === 'latin-square' ? 'Latin square' : 'split plot'} has room for each treatment once only; the control was to stand ${controlPlots} times.`,
      'Take randomised blocks for more plots of the control.',
    );
  }
  return undefined;
}

function blocksFault({ kind, blocks, treatments, replicates }: LayoutRequest): Problem | undefined {
  if (replicates !== undefined) return replicatesFault(kind, treatments, replicates);
  if (!isCount(blocks)) {
    return fault(
      'blocks',
      `Blocks must be a whole number of 1 or more; got ${blocks}.`,
      'Four blocks are a good start.',
    );
  }
  const order = treatments.length;
  if (kind !== 'latin-square') return undefined;
  if (blocks !== order) {
    return fault(
      'square-not-square',
      `A Latin square needs as many rows and columns as treatments: ${order} treatments, ${blocks} blocks.`,
      `Take ${order} blocks, or randomised blocks for any number.`,
    );
  }
  return order > largestSquare
    ? fault(
        'square-too-large',
        `A Latin square takes at most ${largestSquare} treatments; there are ${order}.`,
        'Take randomised or incomplete blocks.',
      )
    : undefined;
}

function replicatesFault(
  kind: LayoutRequest['kind'],
  treatments: readonly string[],
  replicates: readonly number[],
): Problem | undefined {
  if (kind !== 'completely-randomised') {
    return fault(
      'replicates-here',
      'Plots for each treatment can be given only where nothing is blocked.',
      'Give the number of blocks, or take the completely randomised design.',
    );
  }
  return replicates.length === treatments.length && replicates.every((r) => isCount(r))
    ? undefined
    : fault(
        'replicates',
        `There are ${treatments.length} treatments; their plots are given as ${replicates.join(', ')}.`,
        'Give a whole number of 1 or more for each treatment.',
      );
}

function wholePlotFault({ treatments, wholePlots = [] }: LayoutRequest): Problem | undefined {
  if (wholePlots.length < 2) {
    return fault(
      'too-few-whole-plots',
      'A split plot compares at least 2 practices, each on whole plots.',
      'Say which treatments go together under each practice.',
    );
  }
  const sizes = new Set(wholePlots.map((group) => group.treatments.length));
  if (sizes.size > 1 || sizes.has(1) || sizes.has(0)) {
    return fault(
      'whole-plots-unequal',
      `Every practice needs the same number of treatments within it, 2 or more; here they are ${wholePlots.map((group) => group.treatments.length).join(', ')}.`,
      'Give each practice the same treatments within, or take randomised blocks.',
    );
  }
  const dealt = wholePlots.flatMap((group) => group.treatments);
  const wrong = [...dealt, ...treatments].find(
    (id) => dealt.filter((other) => other === id).length !== 1 || !treatments.includes(id),
  );
  return wrong === undefined
    ? undefined
    : fault(
        'whole-plot-treatments',
        `Treatment ${wrong} must be named among the treatments and stand under one practice.`,
        'A spray under two practices makes two treatments; name them apart.',
      );
}

function incompleteFault(request: LayoutRequest): Problem | undefined {
  const { treatments, perBlock, controlPlots = 0, blocks } = request;
  if (perBlock === undefined || !isCount(perBlock, 2)) {
    return fault(
      'per-block',
      `A block must hold 2 plots or more; got ${perBlock ?? 'no number'}.`,
      'Say how many plots a block holds.',
    );
  }
  const free = treatments.length - (controlPlots > 0 ? 1 : 0);
  const room = perBlock - controlPlots;
  if (room >= free) {
    return fault(
      'blocks-complete',
      `Blocks of ${perBlock} plots hold every treatment.`,
      'Take randomised blocks; they tell more.',
    );
  }
  if (room < 1) {
    return fault(
      'control-fills-block',
      `The control's ${controlPlots} plots leave no room in a block of ${perBlock}.`,
      'Take larger blocks, or fewer plots of the control.',
    );
  }
  const least =
    controlPlots > 0
      ? Math.ceil(free / room)
      : Math.max(Math.ceil(free / room), Math.ceil((free - 1) / (room - 1)));
  return blocks < least
    ? fault(
        'too-few-blocks',
        `${treatments.length} treatments in blocks of ${perBlock} need at least ${least} blocks to be compared with one another; there are ${blocks}.`,
        'Add blocks, or leave out a treatment.',
      )
    : undefined;
}

/** Plots of one block where blocks are complete: every treatment once, the control as asked. */
export const completeBlock = ({ treatments, control, controlPlots = 1 }: LayoutRequest): string[] =>
  treatments.flatMap((id) => (id === control ? Array<string>(controlPlots).fill(id) : [id]));

/** How many plots a request makes. */
export function plotCount(request: LayoutRequest): number {
  const { kind, treatments, blocks, replicates, perBlock = 0, control, controlPlots = 1 } = request;
  if (replicates !== undefined) return replicates.reduce((sum, r) => sum + r, 0);
  if (kind === 'incomplete-blocks') return blocks * perBlock;
  if (kind === 'latin-square' || kind === 'split-plot') return blocks * treatments.length;
  // Reckoned, not laid out: it is asked before anybody knows that it is not a thousand million.
  return blocks * (treatments.length + (control === undefined ? 0 : controlPlots - 1));
}

/** What is wrong with a request, in words; undefined where it can be drawn. */
export function requestFault(request: LayoutRequest): Problem | undefined {
  const first = treatmentFault(request) ?? controlFault(request) ?? blocksFault(request);
  if (first !== undefined) return first;
  if (plotCount(request) > mostPlots) {
    return fault(
      'too-many-plots',
      `That makes ${plotCount(request)} plots; a draw takes at most ${mostPlots}.`,
      'Take fewer blocks or fewer plots.',
    );
  }
  if (request.kind === 'split-plot') return wholePlotFault(request);
  return request.kind === 'incomplete-blocks' ? incompleteFault(request) : undefined;
}
