import { type Day, dayFromNumber, dayNumber, readDay } from '@fairbed/field';
import { createRandom, type Random } from '@fairbed/stats';
import type { Trial } from '@fairbed/trial';
import { growPlant, type PlantPlan, type Week } from './leaves';

type Treatment = Trial['treatments'][number];

/** A treatment of the make-believe garden with the truth about it. */
type TrueTreatment = {
  readonly treatment: Treatment;
  /** Share of infections it prevents: what a perfect trial would find. */
  readonly prevents: number;
  /** Share of the diseased leaves stripped after each round in its plots. */
  readonly strips: number;
};

/** Everything the generator needs to make one trial up. */
export type Story = {
  readonly seed: number;
  readonly head: Pick<
    Trial,
    'id' | 'title' | 'question' | 'note' | 'crop' | 'diseases' | 'garden' | 'plan'
  >;
  readonly treatments: readonly TrueTreatment[];
  readonly blocks: number;
  readonly plants: number;
  readonly firstDay: string;
  /** Days of the rounds after the first one, the first itself (0) included. */
  readonly roundDays: readonly number[];
  readonly weeks: readonly Week[];
  readonly growth: Pick<PlantPlan, 'firstLeaves' | 'newLeavesPerWeek' | 'ageing'>;
  /** Standard deviations, on the log scale of infection, between blocks, plots and plants. */
  readonly spread: { readonly block: number; readonly plot: number; readonly plant: number };
  readonly storm?: { readonly afterDays: number; readonly note: string };
  readonly lost?: { readonly treatment: string; readonly block: number } & {
    readonly afterDays: number;
    readonly why: string;
  };
  readonly randomised: boolean;
  readonly sprays: readonly { readonly treatment: string; readonly afterDays: readonly number[] }[];
};

const plotWidth = 1.2;
const plotHeight = 1;
const pathBetween = 0.3;
const pathBetweenBlocks = 0.9;

function dayAfter(first: string, days: number): Day {
  const from = readDay(first);
  const day = from && dayFromNumber(dayNumber(from) + days);
  if (day === undefined) throw new Error(`no day ${days} days after ${first}`);
  return day;
}

type Placed = { readonly plot: Trial['plots'][number]; readonly block: number };

/** Two blocks to a bed, plots in a row from west to east, the order drawn block by block. */
function placePlots(story: Story, random: Random): Placed[] {
  const perBlock = story.treatments.length;
  const codes = Array.from({ length: story.blocks * perBlock }, (_, i) => i + 11);
  random.shuffle(codes);
  return Array.from({ length: story.blocks }, (_, block) => {
    const order = [...story.treatments];
    if (story.randomised) random.shuffle(order);
    return order.map(({ treatment }, i): Placed => {
      const step = plotWidth + pathBetween;
      const blockStart = (block % 2) * (perBlock * step - pathBetween + pathBetweenBlocks);
      const { lost } = story;
      const isLost = lost?.treatment === treatment.id && lost.block === block;
      return {
        block,
        plot: {
          id: `${(block + 1) * 100 + i + 1}`,
          code: `${codes[block * perBlock + i] ?? 0}`,
          treatment: treatment.id,
          ...(story.blocks > 1 ? { block: `${block + 1}` } : {}),
          place: {
            bed: `bed-${Math.floor(block / 2) + 1}`,
            x: Math.round((0.3 + blockStart + i * step) * 100) / 100,
            y: 0.1,
            width: plotWidth,
            height: plotHeight,
          },
          ...(isLost
            ? { lost: { day: dayAfter(story.firstDay, lost.afterDays), why: lost.why } }
            : {}),
        },
      };
    });
  }).flat();
}

/** Every plant of every plot, scored at every round until its plot is lost. */
function scorePlots(story: Story, placed: readonly Placed[], random: Random): Trial['scores'] {
  const deviate = (sd: number): number => Math.exp(sd * random.normal());
  const blockEffects = Array.from({ length: story.blocks }, () => deviate(story.spread.block));
  const scores: Trial['scores'] = [];
  for (const { plot, block } of placed) {
    const truth = story.treatments.find(({ treatment }) => treatment.id === plot.treatment);
    if (truth === undefined) throw new Error(`no treatment ${plot.treatment}`);
    const plotEffect = deviate(story.spread.plot) * (blockEffects[block] ?? 1);
    const lostAfter = plot.lost === undefined ? Infinity : (story.lost?.afterDays ?? Infinity);
    for (let plant = 1; plant <= story.plants; plant++) {
      const grown = growPlant(random, {
        ...story.growth,
        firstLeaves: story.growth.firstLeaves + random.below(3),
        weeks: story.weeks,
        stripping: { share: truth.strips },
        exposure: (1 - truth.prevents) * plotEffect * deviate(story.spread.plant),
      });
      grown.forEach((round, i) => {
        if ((story.roundDays[i] ?? 0) > lostAfter) return;
        scores.push({ plot: plot.id, plant: `${plant}`, round: `r${i + 1}`, ...round });
      });
    }
  }
  return scores;
}

/** In the order of the notebook: round by round, plot by plot, plant by plant. */
const inOrder = (a: Trial['scores'][number], b: Trial['scores'][number]): number =>
  a.round.localeCompare(b.round) ||
  a.plot.localeCompare(b.plot) ||
  (a.plant ?? '').localeCompare(b.plant ?? '');

function bedsOf(story: Story): Trial['beds'] {
  const perBlock = story.treatments.length;
  const step = plotWidth + pathBetween;
  const blocksInBed = Math.min(2, story.blocks);
  const width =
    0.6 + blocksInBed * (perBlock * step - pathBetween) + (blocksInBed - 1) * pathBetweenBlocks;
  const names = story.blocks <= 2 ? ['The bed'] : ['North bed', 'South bed'];
  return names.map((name, i) => ({
    id: `bed-${i + 1}`,
    name,
    width: Math.round(width * 100) / 100,
    height: plotHeight + 0.2,
  }));
}

/** A whole trial document from its story: the same seed, the same trial to the last leaf. */
export function makeTrial(story: Story): Trial {
  const random = createRandom(story.seed);
  const placed = placePlots(story, random);
  const scores = scorePlots(story, placed, random).sort(inOrder);
  const day = (after: number): Day => dayAfter(story.firstDay, after);
  return {
    format: 'fairbed-trial',
    version: 1,
    ...story.head,
    invented: true,
    beds: bedsOf(story),
    treatments: story.treatments.map(({ treatment }) => treatment),
    control: story.treatments[0]?.treatment.id,
    design: story.randomised
      ? { kind: 'randomised-blocks', seed: story.seed, randomised: true }
      : { kind: 'unreplicated', randomised: false },
    blocks:
      story.blocks > 1
        ? Array.from({ length: story.blocks }, (_, i) => ({
            id: `${i + 1}`,
            name: `Block ${i + 1}`,
          }))
        : [],
    plots: placed.map(({ plot }) => plot),
    plants: placed.flatMap(({ plot }) =>
      Array.from({ length: story.plants }, (_, i) => ({ id: `${i + 1}`, plot: plot.id })),
    ),
    rounds: story.roundDays.map((after, i) => ({
      id: `r${i + 1}`,
      day: day(after),
      stripping: true,
      blind: story.randomised,
    })),
    scores,
    times: [],
    sprays: story.sprays.flatMap(({ treatment, afterDays }) =>
      afterDays.map((after) => ({ day: day(after), treatment })),
    ),
    events: story.storm
      ? [{ day: day(story.storm.afterDays), kind: 'storm', note: story.storm.note }]
      : [],
    harvests: [],
  };
}
