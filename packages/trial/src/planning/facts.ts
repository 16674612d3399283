import type { Problem } from '@fairbed/field';
import { smallestShare } from '@fairbed/stats';
import { type Outline, outline } from './outline';
import type { LayoutRequest } from './request';

/** What a layout can show, before a single plant is set. */
export type LayoutFacts =
  | {
      readonly ok: true;
      readonly plots: number;
      /** Layouts the draw could give, each equally likely, that the exact test compares. */
      readonly layouts: bigint;
      /** False where `layouts` is only known not to be passed. */
      readonly exactCount: boolean;
      /**
       * Smallest p-value the exact test of this layout can ever give; 1 where it has no test, null
       * where it is not known.
       */
      readonly smallestP: number | null;
      /** Error degrees of freedom; of a split plot, for the treatments within whole plots. */
      readonly errorDf: number;
      /** Split plot: the same for the practices on whole plots. */
      readonly practice?: { readonly smallestP: number; readonly errorDf: number };
      /** Incomplete blocks: least and most blocks that two treatments share. */
      readonly shared?: { readonly least: number; readonly most: number };
      readonly notes: readonly Problem[];
    }
  | { readonly ok: false; readonly problem: Problem };

const factorial = (n: number): bigint => (n < 2 ? 1n : BigInt(n) * factorial(n - 1));

/** The quotient of two whole numbers of any size, to the precision of a number. */
function quotient(part: bigint, whole: bigint): number {
  const shift = BigInt(Math.max(0, whole.toString(2).length - part.toString(2).length + 60));
  return Math.min(1, Number((part << shift) / whole) * 2 ** -Number(shift));
}

/** Layouts of a Latin square or split plot that differ by the treatments' names alone. */
function renamings({ kind, treatments, wholePlots = [] }: LayoutRequest): bigint {
  if (kind !== 'split-plot') return factorial(treatments.length);
  const size = wholePlots[0]?.treatments.length ?? 0;
  return factorial(wholePlots.length) * factorial(size) ** BigInt(wholePlots.length);
}

function smallestP(request: LayoutRequest, plan: Outline): number | null {
  const { layouts } = plan;
  if (errorDf(request, plan) < 1) return 1;
  // Renaming moves every square, so a list of all of them need not be walked.
  if (layouts.set.kind === 'list') return quotient(renamings(request), layouts.count);
  const share = smallestShare(layouts.set, layouts.labels, layouts.treatments.length);
  if (share !== undefined) return share;
  return layouts.exactCount ? quotient(renamings(request), layouts.count) : null;
}

/** Plots less what blocks, rows and columns, and treatments take. */
function errorDf(request: LayoutRequest, { plots }: Outline): number {
  const { kind, treatments, blocks, wholePlots = [] } = request;
  const t = treatments.length;
  switch (kind) {
    case 'completely-randomised':
      return plots.length - t;
    case 'randomised-blocks':
    case 'incomplete-blocks':
      return plots.length - blocks - t + 1;
    case 'latin-square':
      return (t - 1) * (t - 2);
    case 'split-plot':
      return (blocks - 1) * (t - wholePlots.length);
  }
}

function practiceFacts({ kind, blocks, wholePlots = [] }: LayoutRequest) {
  if (kind !== 'split-plot') return undefined;
  const orders = factorial(wholePlots.length);
  return {
    smallestP: quotient(orders, orders ** BigInt(blocks)),
    errorDf: (blocks - 1) * (wholePlots.length - 1),
  };
}

const note = (code: string, what: string, remedy: string): Problem => ({
  kind: 'note',
  code,
  what,
  do: remedy,
});

/** The usual line, and the one the verdict draws. */
const line = 0.05;
const mostBlocks = 30;

const shown = (p: number): string => `${Number(p.toPrecision(3))}`;

/** The least p-value of what the request asks, of practices too. */
function leastP(request: LayoutRequest): number | null {
  const plan = outline(request);
  if ('code' in plan) return null;
  const all = smallestP(request, plan);
  const practice = practiceFacts(request);
  return all === null || practice === undefined ? all : Math.max(all, practice.smallestP);
}

/** What to add so that the line comes within reach. */
function remedyFor(request: LayoutRequest): string {
  const { kind, blocks, replicates } = request;
  if (kind === 'latin-square') {
    return 'Take randomised blocks with more blocks, or more treatments.';
  }
  if (replicates !== undefined) return 'Give every treatment more plots.';
  for (let more = blocks + 1; more <= mostBlocks; more++) {
    const p = leastP({ ...request, blocks: more });
    if (p === null || p > line) continue;
    const added = more - blocks;
    const [one, several] =
      kind === 'completely-randomised' ? ['plot', 'plots'] : ['block', 'blocks'];
    const each = kind === 'completely-randomised' ? ' of each treatment' : '';
    return `Add ${added === 1 ? `a ${one}` : `${added} ${several}`}${each}: with ${more} it can reach ${shown(p)}.`;
  }
  return 'Add blocks.';
}

function reachNotes(request: LayoutRequest, least: number | null, df: number): Problem[] {
  if (df < 1) {
    return [
      note(
        'no-error-df',
        'This layout has no plots to spare to show how much plots differ by themselves, so no test can be made.',
        request.kind === 'latin-square'
          ? 'Take randomised blocks, or more treatments.'
          : 'Give every treatment at least two plots.',
      ),
    ];
  }
  if (least === null || least <= line) return [];
  const practice = practiceFacts(request)?.smallestP === least;
  return [
    note(
      'out-of-reach',
      `This layout can never give a p-value below ${shown(least)}${practice ? ' for the practices on whole plots' : ''}, however large the difference, so it can never show one at ${line}.`,
      remedyFor(request),
    ),
  ];
}

function pairNotes(request: LayoutRequest, { pairs, plots }: Outline): Problem[] {
  if (pairs === undefined) return [];
  const { treatments, blocks, perBlock = 0, controlPlots = 0 } = request;
  const among = controlPlots > 0 ? 'Any two treatments besides the control' : 'Any two treatments';
  const dealt = treatments.length - (controlPlots > 0 ? 1 : 0);
  const places = plots.length - blocks * controlPlots;
  const uneven = places % dealt > 0;
  return [
    pairs.least === pairs.most
      ? note(
          'pairs-balanced',
          `${among} share ${pairs.least} ${pairs.least === 1 ? 'block' : 'blocks'}: all are compared equally well.`,
          '',
        )
      : note(
          'pairs-uneven',
          `${among} share ${pairs.least} to ${pairs.most} blocks, so some are compared better than others.`,
          balancedAt(dealt, perBlock - controlPlots),
        ),
    ...(uneven
      ? [
          note(
            'plots-uneven',
            `${places % dealt} of ${dealt} treatments get ${Math.ceil(places / dealt)} plots, the others ${Math.floor(places / dealt)}; the lot decides which.`,
            '',
          ),
        ]
      : []),
  ];
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/**
 * Numbers of blocks at which plots (bk = rv) and shared blocks (lambda (v - 1) = r (k - 1)) come out
 * whole: below the first of them no plan is balanced.
 */
function balancedAt(v: number, k: number): string {
  const plots = v / gcd(v, k);
  for (let b = plots; b <= mostBlocks; b += plots) {
    if (((b * k * (k - 1)) / v) % (v - 1) === 0) {
      return `Only ${b} blocks, or a multiple of ${b}, can make it even.`;
    }
  }
  return '';
}

/**
 * What a requested layout can show: plots, layouts the draw could give, smallest p-value, error
 * degrees of freedom (Cochran & Cox 1957, Experimental Designs, ch. 4, 7 and 11), and in words
 * where it can never reach 0.05. The smallest p-value is the share of layouts that renaming the
 * treatments can't tell apart (`smallestShare` of stats).
 */
export function layoutFacts(request: LayoutRequest): LayoutFacts {
  const plan = outline(request);
  if ('code' in plan) return { ok: false, problem: plan };
  const least = smallestP(request, plan);
  const df = errorDf(request, plan);
  const practice = practiceFacts(request);
  const worst =
    least === null || practice === undefined ? least : Math.max(least, practice.smallestP);
  return {
    ok: true,
    plots: plan.plots.length,
    layouts: plan.layouts.count,
    exactCount: plan.layouts.exactCount,
    smallestP: least,
    errorDf: df,
    ...(practice === undefined ? {} : { practice }),
    ...(plan.pairs === undefined
      ? {}
      : { shared: { least: plan.pairs.least, most: plan.pairs.most } }),
    notes: [
      ...reachNotes(request, worst, practice === undefined ? df : Math.min(df, practice.errorDf)),
      ...pairNotes(request, plan),
      ...plan.layouts.notes,
    ],
  };
}
