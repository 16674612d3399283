import {
  curveWithLimits,
  fewPlotsTest,
  fitGroupedHazards,
  type GroupedHazardsFit,
  kaplanMeier,
  logRank,
  logRankScores,
  ModelError,
  type PlotDegrees,
  scoreTest,
  shiftsVersusControl,
  turnbull,
} from '@fairbed/stats';
import type { MethodResult, RatioToControl, TimeToEvent } from './judgement';
import type { MethodInput } from './method-input';
import { type Modelled, sds } from './modelled';
import {
  blockOf,
  byLayout,
  groupingsAbove,
  plotDegrees,
  splitPlotWhy,
  testByPlots,
} from './plants-to-plots';
import { ratioOf, ratioSays, versusControlOf } from './ratio-result';
import { type Spells, spellsOf } from './spells';
import { pick, type PlotTable } from './table';

type Ground = Pick<MethodInput, 'tally' | 'table' | 'layout' | 'control' | 'seed'>;

const finite = (n: number | undefined): number | null =>
  n === undefined || !Number.isFinite(n) ? null : n;

const treatmentOf = ({ treatment }: PlotTable, { plots }: Spells): Int32Array =>
  pick(treatment, [...plots]).codes;

type Shares = Pick<TimeToEvent, 'median'> & { readonly curves: NonNullable<TimeToEvent['curves']> };

/**
 * Of each treatment the share without the event (Turnbull; limits by how its plots differ) and its
 * median: the day as written (Kaplan-Meier) and the looks it lies between.
 */
function sharesOf({ table }: Ground, spells: Spells, group: Int32Array): Shares {
  const median: TimeToEvent['median'][number][] = [];
  const curves: Shares['curves'][number][] = [];
  table.treatment.levels.forEach((name, code) => {
    const mine = [...group.keys()].filter((i) => group[i] === code);
    const take = (from: ArrayLike<number>): number[] => mine.map((i) => from[i] ?? 0);
    const { days, low, high } = kaplanMeier({
      time: take(spells.days),
      happened: mine.map((i) => spells.happened[i] ?? false),
    }).median;
    const curve = turnbull({ left: take(spells.left), right: take(spells.right) });
    const limits = curve && curveWithLimits(curve, take(spells.plots));
    median.push({
      name,
      days: days ?? null,
      low: low ?? null,
      high: high ?? null,
      from: finite(limits?.median.from),
      to: finite(limits?.median.to),
    });
    curves.push({
      name,
      steps: (limits?.points ?? []).map((point) => ({
        from: finite(point.from),
        to: finite(point.to),
        share: point.survival,
        low: point.low ?? null,
        high: point.high ?? null,
      })),
    });
  });
  return { median, curves };
}

/** The proportional hazards model with random blocks and plots; undefined where there is none. */
function hazardsOf(
  ground: Ground,
  spells: Spells,
  group: Int32Array,
): GroupedHazardsFit | undefined {
  const { levels } = ground.table.treatment;
  const places = [...spells.plots];
  const present = [...new Set(places)].sort((a, b) => a - b);
  const plot = {
    name: 'plot',
    codes: places.map((place) => present.indexOf(place)),
    levels: present.map((place) => ground.table.plots[place] ?? ''),
  };
  try {
    return fitGroupedHazards({
      left: spells.left,
      right: spells.right,
      fixed: {
        factors: [{ name: 'treatment', codes: group, levels, reference: ground.control }],
      },
      random: [
        ...groupingsAbove(ground).map(({ name, grouping }) => ({
          name,
          ...pick(grouping, places),
        })),
        ...(present.length < places.length ? [plot] : []),
      ],
    });
  } catch (error) {
    if (error instanceof ModelError) return undefined;
    throw error;
  }
}

/** What the model of hazards adds: ratios to the control and the test of all treatments. */
function hazardParts(
  fit: GroupedHazardsFit | undefined,
  degrees: PlotDegrees | undefined,
  stepDown: (name: string) => number | null,
): Pick<TimeToEvent, 'versusControl' | 'joint' | 'sd'> & { readonly notes: readonly string[] } {
  if (!fit || !degrees) return { notes: [] };
  const without = fitGroupedHazards({ ...fit.input, fixed: { factors: [] } });
  const test = fewPlotsTest(fit, without.logLik, degrees);
  const found = shiftsVersusControl(fit, degrees);
  const notes = fit.how.converged
    ? []
    : ['The model of days did not settle; read its ratios with care.'];
  if (fit.penalised) {
    notes.push(
      'In a treatment it happened to no plant, or to all at once; a mild penalty keeps the model of days finite.',
    );
  }
  return {
    versusControl: (found?.shifts ?? []).map((shift) =>
      ratioOf(shift, stepDown(shift.name), shift.name),
    ),
    ...(test ? { joint: { f: test.f, df1: test.df1, df2: test.df2, p: test.p } } : {}),
    sd: sds(fit.groups),
    notes,
  };
}

/** The log-rank test of plants one by one: Mantel's where days are written down, else Sun's. */
function plainTest(
  { table }: Ground,
  spells: Spells,
  group: Int32Array,
  block: Int32Array | undefined,
) {
  const groups = table.treatment.levels.length;
  const { days: time, happened, left, right } = spells;
  return spells.source === 'times'
    ? logRank({ time, happened, group, groups, ...(block ? { stratum: block } : {}) })
    : scoreTest({ scores: logRankScores({ left, right, block }), group, groups, block });
}

/**
 * Days to an event, written down or read off the rounds (`spellsOf`). The log-rank test and the
 * medians are those of plants one by one; what decides is the layout's own test of log-rank scores
 * within blocks added up by plot (stats, `logRankScores`), step-down over the treatments. Ratios
 * are those of proportional hazards between looks (`fitGroupedHazards`), with limits for all of
 * them together on the plots' degrees of freedom. Undefined where nothing is recorded.
 */
export function timeOf(ground: Ground): Modelled<TimeToEvent> | undefined {
  const { tally, table } = ground;
  const spells = spellsOf(tally, table);
  if (spells === undefined) return undefined;
  const group = treatmentOf(table, spells);
  const plain = plainTest(ground, spells, group, undefined);
  if (!plain.known) {
    const why = spells.happened.includes(true)
      ? 'Fewer than two treatments were watched at the same time, so days can’t be compared.'
      : 'Nothing had happened yet to any plant, so days can’t be compared.';
    return { known: false, why };
  }
  const block = blockOf(ground, spells.plots);
  const scores = logRankScores({ left: spells.left, right: spells.right, block });
  const layout = byLayout(testByPlots(ground, scores, spells.plots, 'sum'));
  const within = plainTest(ground, spells, group, block);
  const { notes: modelNotes, ...model } = hazardParts(
    hazardsOf(ground, spells, group),
    plotDegrees(ground, spells.plots),
    layout.stepDown,
  );
  const { statistic, df, p } = plain;
  return {
    known: true,
    value: {
      logRank: { statistic, df, p },
      ...sharesOf(ground, spells, group),
      event: spells.event,
      source: spells.source,
      ...(within.known
        ? { withinBlocks: { statistic: within.statistic, df: within.df, p: within.p } }
        : {}),
      ...(layout.result ? { exact: layout.result } : {}),
      decidedBy: layout.decisive ? 'layout' : 'model',
      ...model,
    },
    notes: [...spells.notes, ...layout.notes, ...modelNotes],
  };
}

const events: Readonly<
  Record<
    NonNullable<TimeToEvent['event']>,
    { readonly what: string; readonly laterIsBetter?: boolean }
  >
> = {
  'first-symptom': { what: 'First symptoms', laterIsBetter: true },
  clean: { what: 'Clean plants', laterIsBetter: false },
  heading: { what: 'Heading' },
  harvest: { what: 'Harvest' },
  other: { what: 'What was watched for' },
};

/**
 * Days as grounds for an answer: p by the layout's own log-rank test of plots, step-down over the
 * treatments; by the model of hazards where the layout can't go below 0.05.
 */
export function daysMethod(input: MethodInput): Modelled<MethodResult> {
  if (input.layout.kind === 'split-plot') return { known: false, why: splitPlotWhy };
  const found = timeOf(input);
  if (found === undefined) {
    return { known: false, why: 'Nothing in this trial says when something happened.' };
  }
  if (!found.known) return found;
  const { versusControl = [], exact, joint, decidedBy, event = 'other' } = found.value;
  const byDraw = decidedBy === 'layout';
  const pOf = (one: RatioToControl): number | null => (byDraw ? one.pExact : one.p);
  const p = (byDraw ? exact?.p : joint?.p) ?? null;
  const { what, laterIsBetter } = events[event];
  const says = ratioSays(versusControl, {
    control: input.control,
    p,
    pOf,
    lower: (names, than) => `${what} came later under ${names} than under ${than}`,
    higher: (names, than) => `${what} came sooner under ${names} than under ${than}`,
    ratioIs: 'chance from one look to the next, times the control’s,',
    nothing: (than) =>
      `${what} came at no other time under any treatment than under ${than}, as far as can be told`,
  });
  return {
    known: true,
    value: {
      method: 'days',
      title: `Days: ${what.toLowerCase()}`,
      says,
      measure: 'hazard ratio',
      none: 1,
      p,
      versusControl: versusControlOf(versusControl, laterIsBetter),
      notes: found.notes,
    },
    notes: found.notes,
  };
}
