import { type Day, dayFromNumber, readDay, dayNumber } from '@fairbed/field';
import type { Random } from '@fairbed/stats';
import type { Score, Trial } from '../schema';
import {
  type Expected,
  gradeThresholds,
  logistic,
  spreadOf,
  typicalGrade,
  typicalLogOdds,
  type Unevenness,
} from './expected';
import type { DrawnPlot } from './outline';
import type { LayoutRequest } from './request';

/** A trial to be made up: a drawn layout, the ground, what is measured, and the truth. */
export type Ground = {
  readonly request: LayoutRequest;
  /** As `drawLayout` gave them. */
  readonly plots: readonly DrawnPlot[];
  readonly plantsPerPlot: number;
  readonly rounds: number;
  readonly everyDays: number;
  readonly expected: Expected;
  readonly unevenness: Unevenness;
  /** Mean of a treatment over that of the control, at every round; 1 where left out. */
  readonly ratios: ReadonlyMap<string, number>;
};

/** At the first round of several the control stands at this share of its last round: our guess. */
const firstRoundShare = 0.1;

const logit = (share: number): number => Math.log(share / (1 - share));

/**
 * Mean share of the control at each round: a logistic curve (Vanderplank 1963, Plant Diseases, ch. 3)
 * that ends at `last`.
 */
function courseOf(last: number, rounds: number): number[] {
  const to = logit(last);
  const from = rounds === 1 ? to : logit(last * firstRoundShare);
  return Array.from({ length: rounds }, (_, r) =>
    logistic(rounds === 1 ? to : from + ((to - from) * r) / (rounds - 1)),
  );
}

/** What a plot has by being where it is. */
type PlaceEffects = (random: Random) => Float64Array;

function keyed(plots: readonly DrawnPlot[], key: (plot: DrawnPlot) => string | undefined) {
  const places = new Map<string, number>();
  const codes = plots.map((plot) => {
    const name = key(plot);
    if (name === undefined) return -1;
    if (!places.has(name)) places.set(name, places.size);
    return places.get(name) ?? -1;
  });
  return { codes, levels: places.size };
}

/**
 * Block effects, rows and columns sharing the spread of blocks; whole plots of a split plot take
 * half of the variance between plots. Ground that is not blocked is no more even for it: there the
 * plots differ by what blocks would have taken out as well.
 */
function placeEffects({ plots, unevenness }: Ground): PlaceEffects {
  const { block, plot } = unevenness;
  const half = Math.SQRT1_2;
  const isSplit = plots.some(({ wholePlot }) => wholePlot !== undefined);
  const groupings = [
    { ...keyed(plots, (p) => p.block), sd: block },
    { ...keyed(plots, (p) => p.row), sd: half * block },
    { ...keyed(plots, (p) => p.column), sd: half * block },
    { ...keyed(plots, (p) => p.wholePlot), sd: half * plot },
  ].filter(({ levels }) => levels > 0);
  const isBlocked = plots.some((p) => p.block !== undefined || p.row !== undefined);
  const own = isSplit ? half * plot : isBlocked ? plot : Math.hypot(block, plot);
  return (random) => {
    const out = new Float64Array(plots.length);
    for (const { codes, levels, sd } of groupings) {
      const effects = Float64Array.from({ length: levels }, () => sd * random.normal());
      codes.forEach((code, i) => {
        out[i] = (out[i] ?? 0) + (effects[code] ?? 0);
      });
    }
    return out.map((effect) => effect + own * random.normal());
  };
}

/** What one plant shows at every round: `at` gives the place of its treatment at a round, `effect` its own. */
type Plant = {
  readonly random: Random;
  readonly at: Float64Array;
  readonly effect: number;
};
type Shown = Pick<Score, 'standing' | 'diseased' | 'severity' | 'grade' | 'value'>;
type Measure = {
  /** Place of a treatment at each round, from its ratio to the control. */
  readonly placesOf: (ratio: number) => Float64Array;
  readonly show: (plant: Plant) => Shown[];
  readonly extra: Pick<Trial, 'gradeScale' | 'valueMeasure'>;
};

/** A share can't pass what there is, whatever the ratio. */
const mostShare = 0.999;

function shareMeasure(
  ground: Ground,
  percent: number,
  place: (share: number, sd: number) => number,
  show: Measure['show'],
): Measure {
  const sd = spreadOf(ground.unevenness);
  const course = courseOf(percent / 100, ground.rounds);
  const placesOf = (ratio: number): Float64Array =>
    Float64Array.from(course, (share) => place(Math.min(mostShare, share * ratio), sd));
  return { placesOf, show, extra: {} };
}

/** A leaf that is diseased stays so: it has one place for all rounds. */
const showLeaves =
  (leaves: number): Measure['show'] =>
  ({ random, at, effect }) => {
    const shares = at.map((place) => logistic(place + effect));
    const diseased = new Int32Array(at.length);
    for (let leaf = 0; leaf < leaves; leaf++) {
      const u = random.uniform();
      for (let r = 0; r < shares.length; r++) {
        if (u < (shares[r] ?? 0)) diseased[r] = (diseased[r] ?? 0) + 1;
      }
    }
    return Array.from(diseased, (n) => ({ standing: leaves, diseased: n }));
  };

const showSeverity: Measure['show'] = ({ at, effect }) =>
  Array.from(at, (place) => ({ severity: 100 * logistic(place + effect) }));

const showGrades =
  (thresholds: Float64Array): Measure['show'] =>
  ({ random, at, effect }) => {
    const own = logit((random.next() + 0.5) / 2 ** 32);
    return Array.from(at, (place) => {
      let grade = 0;
      for (const threshold of thresholds) if (place + effect + own > threshold) grade++;
      return { grade };
    });
  };

function valueMeasure(ground: Ground, mean: number, better: 'lower' | 'higher'): Measure {
  return {
    placesOf: (ratio) => new Float64Array(ground.rounds).fill(mean * ratio),
    show: ({ at, effect }) =>
      Array.from(at, (place) => ({ value: place + (Math.abs(mean) * effect) / 100 })),
    extra: { valueMeasure: { name: 'Value', better } },
  };
}

function measureFor(ground: Ground): Measure {
  const { expected } = ground;
  switch (expected.kind) {
    case 'leaves':
      return shareMeasure(ground, expected.percent, typicalLogOdds, showLeaves(expected.leaves));
    case 'severity':
      return shareMeasure(ground, expected.percent, typicalLogOdds, showSeverity);
    case 'grades': {
      const thresholds = gradeThresholds(expected.classes);
      const place = (share: number, sd: number): number => typicalGrade(share, sd, thresholds);
      const classes = Array.from({ length: expected.classes }, (_, k) => k);
      return {
        ...shareMeasure(ground, expected.percent, place, showGrades(thresholds)),
        extra: { gradeScale: { classes, healthy: 0 } },
      };
    }
    case 'value':
      return valueMeasure(ground, expected.mean, expected.better);
  }
}

/** Any day will do: only the distances between rounds count. */
const firstDay = dayNumber(readDay('2026-05-04') as Day);

/** Everything of the trial but its scores. */
function frameOf({ request, plots, rounds, everyDays }: Ground): Trial {
  const blocks = [...new Set(plots.flatMap(({ block }) => (block === undefined ? [] : [block])))];
  return {
    format: 'fairbed-trial',
    version: 1,
    id: 'invented',
    title: 'Invented',
    invented: true,
    diseases: [{ id: 'disease', name: 'disease' }],
    beds: [],
    treatments: request.treatments.map((id) => ({ id, name: id, kind: 'unstated' as const })),
    ...(request.control === undefined ? {} : { control: request.control }),
    design: { kind: request.kind, randomised: true },
    blocks: blocks.map((id) => ({ id, name: id })),
    plots: plots.map((plot, i) => ({ id: `${i + 1}`, ...plot })),
    plants: [],
    rounds: Array.from({ length: rounds }, (_, r): Trial['rounds'][number] => {
      const day = dayFromNumber(firstDay + r * everyDays);
      return { id: `${r + 1}`, blind: true, ...(day === undefined ? {} : { day }) };
    }),
    scores: [],
    times: [],
    sprays: [],
    events: [],
    harvests: [],
  };
}

/**
 * A maker of trials whose truth is known. Every call gives another one with the same layout: every
 * plant scored at every round, nothing lost, nothing stripped, nothing sprayed twice.
 *
 * Shares (leaves, leaf area, grade index): the control's mean follows a logistic curve from a tenth of
 * its last level at the first round to `percent` at the last; a treatment's mean is `ratio` times
 * that at every round. Blocks, plots and plants differ by normal effects on the log-odds scale that
 * last the whole trial; means hold over blocks, plots and plants. Each leaf is diseased by chance
 * and stays so. A grade is where a plant's place, with a logistic error of its own, falls among
 * evenly spaced thresholds (the cumulative logit model of McCullagh 1980, JRSS B 42:109). Values are
 * normal. Scores have no error but these. All of it is a guess about a bed nobody has seen.
 */
export function inventor(ground: Ground): (random: Random) => Trial {
  const frame = frameOf(ground);
  const measure = measureFor(ground);
  const effectsOf = placeEffects(ground);
  const places = new Map(
    ground.request.treatments.map((id) => [id, measure.placesOf(ground.ratios.get(id) ?? 1)]),
  );
  const plants = Array.from({ length: ground.plantsPerPlot }, (_, i) => `${i + 1}`);
  const plantSd = ground.unevenness.plant;
  return (random) => {
    const effects = effectsOf(random);
    const scores: Score[] = [];
    frame.plots.forEach(({ id: plot, treatment }, i) => {
      const at = places.get(treatment) ?? new Float64Array(0);
      for (const plant of plants) {
        const effect = (effects[i] ?? 0) + plantSd * random.normal();
        measure.show({ random, at, effect }).forEach((shown, r) => {
          scores.push({ plot, plant, round: frame.rounds[r]?.id ?? '', ...shown });
        });
      }
    });
    return { ...frame, ...measure.extra, scores };
  };
}
