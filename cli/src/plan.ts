import { randomInt } from 'node:crypto';
import { problemLine } from '@fairbed/field';
import {
  drawLayout,
  type DrawnPlot,
  effort,
  layoutFacts,
  type LayoutFacts,
  type LayoutRequest,
  stakeCodes,
} from '@fairbed/trial';
import type { Done } from './judge';
import {
  type PlannedPower,
  powerDocument,
  powerLines,
  type PowerFlags,
  powerOf,
} from './plan-power';
import { textTable, wrapped } from './text-table';

export type PlanFlags = PowerFlags & {
  readonly treatments?: string;
  readonly control?: string;
  readonly controlPlots?: number;
  readonly blocks?: number;
  readonly replicates?: readonly number[];
  readonly perBlock?: number;
  readonly practice?: readonly string[];
  readonly design: LayoutRequest['kind'];
  readonly seed?: number;
  readonly json?: boolean;
};

const wrongUsage = (message: string): Done => ({
  out: '',
  err: `fairbed plan: ${message}\n`,
  status: 2,
});

const listed = (text: string): string[] => text.split(',').map((part) => part.trim());

/** `wide=A,B`: a practice and the treatments that stand within its whole plots. */
function practiceOf(text: string): { id: string; treatments: string[] } | undefined {
  const [, id, treatments] = /^([^=]+)=(.+)$/.exec(text) ?? [];
  return id === undefined || treatments === undefined
    ? undefined
    : { id: id.trim(), treatments: listed(treatments) };
}

/** The request that the flags spell out, or what is missing from them. */
function requestOf(flags: PlanFlags): LayoutRequest | string {
  const { design, control, controlPlots, perBlock, replicates, practice = [] } = flags;
  const wholePlots = practice.map(practiceOf);
  const groups = wholePlots.filter((group) => group !== undefined);
  if (groups.length < wholePlots.length) {
    return 'write each --practice as its name, an equals sign and its treatments: wide=A,B.';
  }
  const treatments =
    flags.treatments === undefined
      ? groups.flatMap((group) => group.treatments)
      : listed(flags.treatments);
  if (treatments.length === 0) return 'name the treatments with --treatments A,B,C.';
  if (treatments.includes('')) return 'one of the treatments has no name.';
  const blocks =
    flags.blocks ?? (design === 'latin-square' || replicates ? treatments.length : undefined);
  if (blocks === undefined) return 'say how many blocks with --blocks 4.';
  if (groups.length > 0 !== (design === 'split-plot')) {
    return '--practice and --design split-plot go together.';
  }
  if ((perBlock !== undefined) !== (design === 'incomplete-blocks')) {
    return '--per-block and --design incomplete-blocks go together.';
  }
  return {
    kind: design,
    treatments,
    blocks,
    ...(control === undefined ? {} : { control }),
    ...(controlPlots === undefined ? {} : { controlPlots }),
    ...(replicates === undefined ? {} : { replicates }),
    ...(perBlock === undefined ? {} : { perBlock }),
    ...(groups.length === 0 ? {} : { wholePlots: groups }),
  };
}

type StakedPlot = DrawnPlot & { readonly plot: string; readonly code: string };

/** Plots are numbered by their block or row: 101, 102 ... 201. Without either from 1. */
function staked(plots: readonly DrawnPlot[], seed: number): StakedPlot[] {
  const codes = stakeCodes(plots.length, seed);
  const stood = new Map<string, number>();
  return plots.map((plot, i) => {
    const group = plot.block ?? plot.row ?? '';
    const at = (stood.get(group) ?? 0) + 1;
    stood.set(group, at);
    const number = group === '' ? `${at}` : `${group}${`${at}`.padStart(2, '0')}`;
    return { ...plot, plot: number, code: codes[i] ?? '' };
  });
}

type Facts = Extract<LayoutFacts, { readonly ok: true }>;
type Plan = {
  readonly request: LayoutRequest;
  readonly flags: PlanFlags;
  readonly seed: number;
  readonly layout: readonly StakedPlot[];
  readonly facts: Facts;
  readonly power: PlannedPower;
};

function asDocument({ request, flags, seed, layout, facts, power }: Plan) {
  const { plants, minutesPerRound } = effort({ ...request, plantsPerPlot: flags.plants });
  return {
    seed,
    design: request.kind,
    layout: layout.map(({ plot, code, block, row, column, wholePlot, treatment }) => ({
      plot,
      code,
      block: block ?? null,
      row: row ?? null,
      column: column ?? null,
      wholePlot: wholePlot ?? null,
      treatment,
    })),
    layouts: facts.layouts.toString(),
    exactCount: facts.exactCount,
    smallestP: facts.smallestP,
    errorDf: facts.errorDf,
    practice: facts.practice ?? null,
    plants,
    minutesPerRound,
    rounds: flags.rounds ?? null,
    worthHavingPercent: flags.difference ?? null,
    ...powerDocument(power),
    notes: facts.notes.map(problemLine),
  };
}

const titles: Readonly<Record<LayoutRequest['kind'], string>> = {
  'completely-randomised': 'Completely randomised',
  'randomised-blocks': 'Randomised blocks',
  'latin-square': 'Latin square',
  'split-plot': 'Split plot',
  'incomplete-blocks': 'Incomplete blocks',
};

const columns = [
  ['plot', ({ plot }: StakedPlot) => plot],
  ['code', ({ code }: StakedPlot) => code],
  ['block', ({ block }: StakedPlot) => block],
  ['row', ({ row }: StakedPlot) => row],
  ['column', ({ column }: StakedPlot) => column],
  ['whole plot', ({ wholePlot }: StakedPlot) => wholePlot],
  ['treatment', ({ treatment }: StakedPlot) => treatment],
] as const;

function layoutTable(layout: readonly StakedPlot[]): string[] {
  const used = columns.filter(([, of]) => layout.some((plot) => of(plot) !== undefined));
  return textTable(
    used.map(([heading]) => heading),
    layout.map((plot) => used.map(([, of]) => of(plot) ?? '')),
  );
}

const counted = (n: bigint): string => n.toLocaleString('en-GB');
const shownP = (p: number): string => `${Number(p.toPrecision(3))}`;

function factLines({ request, facts }: Plan): string[] {
  const { layouts, exactCount, smallestP, errorDf, practice } = facts;
  const within =
    request.kind === 'incomplete-blocks' ? ' with these treatments in these blocks' : '';
  return [
    `${exactCount ? '' : 'At most '}${counted(layouts)} layouts${within} were possible, each as likely as this one.`,
    smallestP === null
      ? 'The smallest p-value of this layout is not known; it is very small.'
      : `The smallest p-value this layout can give is ${shownP(smallestP)}.`,
    `Error degrees of freedom: ${errorDf}.`,
    ...(practice === undefined
      ? []
      : [
          `For the practices on whole plots: ${shownP(practice.smallestP)}, with ${practice.errorDf} degrees of freedom.`,
        ]),
  ];
}

function effortLines({ request, flags, layout }: Plan): string[] {
  const { plants, minutesPerRound, assumed } = effort({
    ...request,
    plantsPerPlot: flags.plants,
  });
  const { rounds, difference } = flags;
  return [
    `${layout.length} plots of ${flags.plants} plants: ${plants} plants and about ${minutesPerRound} minutes a round${rounds === undefined ? '' : `, ${rounds} rounds`}. ${assumed}`,
    ...(difference === undefined ? [] : [`Smallest difference worth having: ${difference} %.`]),
  ];
}

function printed(plan: Plan): string {
  const { request, flags, seed, layout, facts } = plan;
  const paragraphs = [
    `${titles[request.kind]}, drawn with seed ${seed}. The same command with --seed ${seed} draws it again.`,
    ...factLines(plan),
    ...effortLines(plan),
    ...powerLines(plan.power).sentences,
    ...(flags.control === undefined
      ? ['No control is named. An untreated one shows how much disease there was to prevent.']
      : []),
  ];
  const notes = facts.notes.map((note) => `- ${problemLine(note)}`);
  return [
    ...layoutTable(layout),
    '',
    ...paragraphs.flatMap((line) => wrapped(line, 88)),
    ...(notes.length === 0 ? [] : ['', ...notes.flatMap((line) => wrapped(line, 88, '  '))]),
    ...powerLines(plan.power).table,
    '',
    ...wrapped(
      'The list says which code is which treatment: keep it from whoever scores, and give it to whoever sprays.',
      88,
    ),
    '',
  ].join('\n');
}

const wholeAtLeast1 = (n: number | undefined): boolean =>
  n === undefined || (Number.isInteger(n) && n >= 1);

/**
 * `fairbed plan`: draws a layout and says what it can show, for a grower or as one JSON document.
 * `say` hears how far the simulated trials are.
 */
export function planCommand(flags: PlanFlags, say: (text: string) => void = () => undefined): Done {
  if (!wholeAtLeast1(flags.plants)) return wrongUsage('--plants must be a whole number from 1 up.');
  if (!wholeAtLeast1(flags.rounds)) return wrongUsage('--rounds must be a whole number from 1 up.');
  const { difference } = flags;
  if (difference !== undefined && !(difference > 0 && difference <= 100)) {
    return wrongUsage('--difference must be a percentage above 0, up to 100.');
  }
  const request = requestOf(flags);
  if (typeof request === 'string') return wrongUsage(request);
  const seed = flags.seed ?? randomInt(2 ** 32);
  if (seed >= 2 ** 32) return wrongUsage(`--seed must be below ${2 ** 32}.`);
  const facts = layoutFacts(request);
  if (!facts.ok) return wrongUsage(problemLine(facts.problem));
  const drawn = drawLayout(request, seed);
  if (!drawn.ok) return wrongUsage(problemLine(drawn.problem));
  const power = powerOf(request, flags, seed, say);
  if (typeof power === 'string') return wrongUsage(power);
  const plan = { request, flags, seed, layout: staked(drawn.plots, seed), facts, power };
  const out = flags.json === true ? `${JSON.stringify(asDocument(plan))}\n` : printed(plan);
  return { out, err: '', status: 0 };
}
