import { readTrial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { mappingFromRoles, type Role } from './mapping';
import { readTable } from './readtable';
import { tableToTrial } from './totrial';

const roles = { trt: 'treatment', block: 'block', y: 'severity' } as const satisfies Record<
  string,
  Role
>;

function build(lines: readonly string[], more: Record<string, Role> = {}) {
  const { table } = readTable(new TextEncoder().encode(lines.join('\n')), 's.csv');
  const named = Object.entries({ ...roles, ...more });
  const built = tableToTrial(
    table!,
    mappingFromRoles(named.map(([column, role]) => ({ column, role }))),
  );
  expect(readTrial(built.trial).ok).toBe(true);
  return built;
}

/** Two treatments in two blocks, four rows a plot, told apart by what `row` writes. */
const sheet = (headings: string, row: (n: number) => string): string[] => [
  `block,trt,y,${headings}`,
  ...['B1', 'B2'].flatMap((block) =>
    ['A', 'C'].flatMap((trt) => [0, 1, 2, 3].map((n) => `${block},${trt},${10 + n},${row(n)}`)),
  ),
];

describe('several rows of one plot at one time', () => {
  it('are parts where an unmapped column tells them apart, which is noted', () => {
    const { trial, rows, faults } = build(sheet('shoot', (n) => `S${n}`));
    expect(rows).toEqual({ read: 16, used: 16, set_aside: 0 });
    expect(trial.scores.slice(0, 4).map(({ part }) => part)).toEqual(['S0', 'S1', 'S2', 'S3']);
    expect(faults.map(({ code }) => code)).toContain('rows-are-parts');
  });

  it('are parts by two columns together where neither does alone', () => {
    const { trial } = build(sheet('vine,cane', (n) => `V${n >> 1},K${n & 1}`));
    expect(trial.scores.slice(0, 4).map(({ part }) => part)).toEqual([
      'V0/K0',
      'V0/K1',
      'V1/K0',
      'V1/K1',
    ]);
  });

  it('are asked about where the column speaks of time', () => {
    const { rows, faults } = build(sheet('date', (n) => `2026-06-0${n + 1}`));
    expect(rows.set_aside).toBe(16);
    const asked = faults.find(({ code }) => code === 'several-rows-a-plot');
    expect(asked?.do).toContain('"date"');
  });

  it('are asked about where nothing tells them apart', () => {
    const { rows, faults } = build(sheet('weather', () => 'dry'));
    expect(rows.set_aside).toBe(16);
    expect(faults.map(({ code }) => code)).toContain('several-rows-a-plot');
  });

  it('are parts of the plant where plant and part are both mapped, and a copy is still a fault', () => {
    const lines = sheet('vine,cane', (n) => `V${n >> 1},K${n & 1}`);
    const { trial, rows, faults } = build([...lines, 'B1,A,99,V0,K0'], {
      vine: 'plant',
      cane: 'part',
    });
    expect(trial.plants).toHaveLength(8);
    expect(rows.set_aside).toBe(2);
    expect(faults.filter(({ code }) => code === 'duplicate')).toHaveLength(2);
  });
});
