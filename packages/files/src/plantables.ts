import type { Trial } from '@fairbed/trial';
import { byId, field, type PackageTable, plotKey, roundKey, table } from './packagetable';

/**
 * Tables of what only a trial planned and scored in the notebook has. One that would be empty is
 * left out, so that the package of a trial from a spreadsheet stays as small as it was.
 */
export function planTables(trial: Trial): PackageTable[] {
  return [...groundTables(trial), ...recordTables(trial)].filter((t) => t.rows.length > 0);
}

const bedKey = { field: 'bed', table: 'beds' };

function groundTables(trial: Trial): PackageTable[] {
  const blocked = trial.beds.flatMap((bed) => (bed.blocked ?? []).map((b) => ({ ...b, bed })));
  return [
    table(
      { name: 'ground', about: 'Ground in beds that no plot may use', foreignKeys: [bedKey] },
      blocked,
      [
        field('bed', 'string', (g) => g.bed.id),
        field('x_m', 'number', (g) => g.x, 'metres east of the south-west corner of the bed'),
        field('y_m', 'number', (g) => g.y, 'metres north of the south-west corner of the bed'),
        field('width_m', 'number', (g) => g.width),
        field('height_m', 'number', (g) => g.height),
        field('why', 'string', (g) => g.why),
      ],
    ),
    table(
      {
        name: 'draws',
        about: 'Layouts that were drawn; the last is in use',
        primaryKey: ['number'],
      },
      trial.plan?.draws ?? [],
      [
        field('number', 'integer', (d) => d.number),
        field('seed', 'integer', (d) => d.seed),
        field('day', 'date', (d) => d.day),
        field('why', 'string', (d) => d.why),
      ],
    ),
  ];
}

function recordTables(trial: Trial): PackageTable[] {
  return [
    table(
      { name: 'departures', about: 'What was done otherwise than the sealed plan says' },
      trial.departures ?? [],
      [
        field('day', 'date', (d) => d.day),
        field('code', 'string', (d) => d.code),
        field('what', 'string', (d) => d.what),
      ],
    ),
    table(
      {
        name: 'skipped',
        about: 'Plants or plots left out of a round on purpose',
        foreignKeys: [plotKey, roundKey],
      },
      trial.skipped ?? [],
      [
        field('plot', 'string', (s) => s.plot),
        field('plant', 'string', (s) => s.plant),
        field('round', 'string', (s) => s.round),
        field('why', 'string', (s) => s.why),
      ],
    ),
    table(
      {
        name: 'notes',
        about: 'Notes made in the bed',
        ...byId,
        foreignKeys: [plotKey, roundKey],
      },
      trial.notes ?? [],
      [
        field('id', 'string', (note) => note.id),
        field('day', 'date', (note) => note.day),
        field('round', 'string', (note) => note.round),
        field('plot', 'string', (note) => note.plot),
        field('plant', 'string', (note) => note.plant),
        field('text', 'string', (note) => note.text),
      ],
    ),
  ];
}
