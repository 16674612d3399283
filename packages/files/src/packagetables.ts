import type { Trial } from '@fairbed/trial';
import {
  byId,
  type Field,
  field,
  type PackageTable,
  plotKey,
  roundKey,
  table,
  treatmentKey,
} from './packagetable';
import { planTables } from './plantables';

type Of<K extends 'treatments' | 'plots' | 'scores' | 'sprays' | 'events' | 'harvests' | 'rounds'> =
  Trial[K][number];

const treatmentFields: readonly Field<Of<'treatments'>>[] = [
  field('id', 'string', (t) => t.id),
  field('name', 'string', (t) => t.name),
  field('kind', 'string', (t) => t.kind),
  field('active_ingredient', 'string', (t) => t.activeIngredient),
  field('rate', 'number', (t) => t.rate?.amount),
  field('rate_unit', 'string', (t) => t.rate?.unit),
  field('mode_of_action', 'string', (t) => t.modeOfAction),
  field('practice', 'string', (t) => t.practice?.what),
  field('practice_value', 'string', (t) => t.practice?.value),
  field('cultivar', 'string', (t) => t.cultivar),
  field('every_days', 'number', (t) => t.everyDays, 'from one spray to the next, as planned'),
  field('pre_harvest_days', 'number', (t) => t.preHarvestDays, 'of the label'),
  field('reentry_hours', 'number', (t) => t.reentryHours, 'of the label'),
  field('note', 'string', (t) => t.note),
];

const plotFields: readonly Field<Of<'plots'>>[] = [
  field('id', 'string', (p) => p.id),
  field('code', 'string', (p) => p.code, 'what the stake says'),
  field('treatment', 'string', (p) => p.treatment),
  field('block', 'string', (p) => p.block),
  field('row', 'string', (p) => p.row),
  field('column', 'string', (p) => p.column),
  field('whole_plot', 'string', (p) => p.wholePlot),
  field('bed', 'string', (p) => p.place?.bed),
  field('x_m', 'number', (p) => p.place?.x, 'metres east of the south-west corner of the bed'),
  field('y_m', 'number', (p) => p.place?.y, 'metres north of the south-west corner of the bed'),
  field('width_m', 'number', (p) => p.place?.width),
  field('height_m', 'number', (p) => p.place?.height),
  field('lost_on', 'date', (p) => p.lost?.day),
  field('lost_why', 'string', (p) => p.lost?.why),
];

const scoreFields: readonly Field<Of<'scores'>>[] = [
  field('plot', 'string', (s) => s.plot),
  field('plant', 'string', (s) => s.plant),
  field('round', 'string', (s) => s.round),
  field('disease', 'string', (s) => s.disease),
  field('part', 'string', (s) => s.part),
  field('leaf_position', 'string', (s) => s.leafPosition),
  field('leaves_standing', 'integer', (s) => s.standing, 'before anything was stripped that day'),
  field('leaves_diseased', 'integer', (s) => s.diseased),
  field('leaves_stripped', 'integer', (s) => s.stripped),
  field('stripped_diseased', 'integer', (s) => s.strippedDiseased, 'of the stripped'),
  field(
    'leaves_lost',
    'integer',
    (s) => s.lost?.reduce((sum, l) => sum + l.leaves, 0),
    'by cause in losses.csv',
  ),
  field('severity_percent', 'number', (s) => s.severity),
  field('grade', 'number', (s) => s.grade),
  field('injury_percent', 'number', (s) => s.injury),
  field('vigour_percent', 'number', (s) => s.vigour),
  field('growth_stage_bbch', 'integer', (s) => s.stage),
  field('value', 'number', (s) => s.value),
  field('baseline', 'number', (s) => s.baseline, 'the same figure, before any treatment'),
  field('note', 'string', (s) => s.note),
  field('by', 'string', (s) => s.by),
];

/** The tables of a trial as they go into its data package. Figures keep full precision. */
export function packageTables(trial: Trial): PackageTable[] {
  return [
    ...placeTables(trial),
    ...scoreTables(trial),
    ...diaryTables(trial),
    ...planTables(trial),
  ];
}

function placeTables(trial: Trial): PackageTable[] {
  return [
    table(
      { name: 'treatments', about: 'What is compared', ...byId },
      trial.treatments,
      treatmentFields,
    ),
    table(
      { name: 'blocks', about: 'Stretches of bed that are alike inside', ...byId },
      trial.blocks,
      [
        field('id', 'string', (b) => b.id),
        field('name', 'string', (b) => b.name),
        field('note', 'string', (b) => b.note),
      ],
    ),
    table({ name: 'beds', about: 'Beds, in metres', ...byId }, trial.beds, [
      field('id', 'string', (b) => b.id),
      field('name', 'string', (b) => b.name),
      field('width_m', 'number', (b) => b.width),
      field('height_m', 'number', (b) => b.height),
      field('x_m', 'number', (b) => b.x, 'metres east of the south-west corner of the garden'),
      field('y_m', 'number', (b) => b.y, 'metres north of the south-west corner of the garden'),
    ]),
    table(
      { name: 'plots', about: 'Plots and their treatment', ...byId, foreignKeys: [treatmentKey] },
      trial.plots,
      plotFields,
    ),
    table(
      {
        name: 'plants',
        about: 'Plants that were scored',
        primaryKey: ['plot', 'id'],
        foreignKeys: [plotKey],
      },
      trial.plants,
      [
        field('id', 'string', (p) => p.id, 'unique within its plot'),
        field('plot', 'string', (p) => p.plot),
        field('guard', 'boolean', (p) => p.guard),
        field('lost_on', 'date', (p) => p.lost?.day),
        field('lost_why', 'string', (p) => p.lost?.why),
        field('note', 'string', (p) => p.note),
      ],
    ),
    table({ name: 'diseases', about: 'The target disease first', ...byId }, trial.diseases, [
      field('id', 'string', (d) => d.id),
      field('name', 'string', (d) => d.name),
      field('scientific_name', 'string', (d) => d.scientificName),
    ]),
  ];
}

function scoreTables(trial: Trial): PackageTable[] {
  const roundFields: readonly Field<Of<'rounds'>>[] = [
    field('id', 'string', (r) => r.id),
    field('day', 'date', (r) => r.day),
    field('at', 'number', (r) => r.at, 'days, where no dates are known'),
    field('name', 'string', (r) => r.name),
    field('stripping', 'boolean', (r) => r.stripping),
    field('blind', 'boolean', (r) => r.blind),
    field('done', 'boolean', (r) => r.done),
    field('note', 'string', (r) => r.note),
  ];
  const losses = trial.scores.flatMap((s) => (s.lost ?? []).map((l) => ({ ...l, score: s })));
  const scoreKeys = [plotKey, roundKey];
  return [
    table(
      { name: 'rounds', about: 'Times at which all plots were scored', ...byId },
      trial.rounds,
      roundFields,
    ),
    table(
      { name: 'scores', about: 'One row a plant (or plot) and round', foreignKeys: scoreKeys },
      trial.scores,
      scoreFields,
    ),
    table(
      {
        name: 'losses',
        about: 'Leaves lost to anything but stripping, by cause',
        foreignKeys: scoreKeys,
      },
      losses,
      [
        field('plot', 'string', (l) => l.score.plot),
        field('plant', 'string', (l) => l.score.plant),
        field('round', 'string', (l) => l.score.round),
        field('leaves', 'integer', (l) => l.leaves),
        field('why', 'string', (l) => l.why),
      ],
    ),
    table(
      { name: 'times', about: 'Days to something that happens once', foreignKeys: [plotKey] },
      trial.times,
      [
        field('plot', 'string', (t) => t.plot),
        field('plant', 'string', (t) => t.plant),
        field('event', 'string', (t) => t.event),
        field('days', 'number', (t) => t.days),
        field('happened', 'boolean', (t) => t.happened),
      ],
    ),
  ];
}

function diaryTables(trial: Trial): PackageTable[] {
  const plotList = (plots: readonly string[] | undefined): string | undefined => plots?.join('; ');
  const sprayFields: readonly Field<Of<'sprays'>>[] = [
    field('day', 'date', (s) => s.day),
    field('time', 'string', (s) => s.time, 'when spraying ended, hours and minutes'),
    field('treatment', 'string', (s) => s.treatment),
    field('plots', 'string', (s) => plotList(s.plots), 'all plots of the treatment where empty'),
    field('active_ingredient', 'string', (s) => s.activeIngredient),
    field('rate', 'number', (s) => s.rate?.amount),
    field('rate_unit', 'string', (s) => s.rate?.unit),
    field('reentry_hours', 'number', (s) => s.reentryHours),
    field('by', 'string', (s) => s.by),
    field('note', 'string', (s) => s.note),
  ];
  const eventFields: readonly Field<Of<'events'>>[] = [
    field('day', 'date', (e) => e.day),
    field('kind', 'string', (e) => e.kind),
    field('plots', 'string', (e) => plotList(e.plots), 'all plots where empty'),
    field('note', 'string', (e) => e.note),
  ];
  const harvestFields: readonly Field<Of<'harvests'>>[] = [
    field('day', 'date', (h) => h.day),
    field('plot', 'string', (h) => h.plot),
    field('plant', 'string', (h) => h.plant),
    field('grams', 'number', (h) => h.grams),
    field('pieces', 'integer', (h) => h.pieces),
    field('note', 'string', (h) => h.note),
  ];
  return [
    table(
      { name: 'sprays', about: 'What was sprayed when', foreignKeys: [treatmentKey] },
      trial.sprays,
      sprayFields,
    ),
    table(
      { name: 'events', about: 'Weather and other things that befell the trial' },
      trial.events,
      eventFields,
    ),
    table(
      { name: 'harvests', about: 'What was picked', foreignKeys: [plotKey] },
      trial.harvests,
      harvestFields,
    ),
  ];
}
