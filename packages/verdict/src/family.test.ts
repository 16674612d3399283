import { readFileSync } from 'node:fs';
import { layoutsOf, plotValues, readTrialText, tabulate } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { familyOf, type FamilyOutcome } from './family';
import { layoutFor } from './layout';
import { plotTable } from './table';

const demo = (name: string) => {
  const url = new URL(`../../../data/demo/${name}.json`, import.meta.url);
  const read = readTrialText(readFileSync(url, 'utf8'));
  if (!read.ok) throw new Error('the demo is a trial');
  const { trial } = read;
  const table = plotTable(trial, trial.control ?? '');
  const layout = layoutFor(trial, table);
  const layouts = layoutsOf(trial)?.set;
  if (layouts === undefined) throw new Error('the demo has layouts');
  const tally = tabulate(trial);
  const outcome = (id: 'incidence-last' | 'audpc-incidence' | 'stripped-total'): FamilyOutcome => {
    const { values } = plotValues(tally, id);
    return { id, values: table.plots.map((plot) => values.get(plot)) };
  };
  return { table, layouts, adjust: layout.adjust(table), outcome };
};

describe('claims over all outcomes together', () => {
  const { table, layouts, adjust, outcome } = demo('chard-leaf-spot');
  const input = { table, layouts, adjust, seed: 1, draws: 4000 };
  const outcomes = (['incidence-last', 'audpc-incidence', 'stripped-total'] as const).map(outcome);

  it('names every outcome and treatment but the control, and never claims more than by itself', () => {
    const { family, layouts: behind, enumerated, seed } = familyOf(outcomes, input);
    expect(family.length).toBe(3 * (table.treatment.levels.length - 1));
    expect(family.some(({ name }) => name === table.treatment.levels[table.control])).toBe(false);
    expect([behind, enumerated, seed]).toEqual(['4000', false, 1]);
    for (const { p, pStepDown } of family) expect(pStepDown).toBeGreaterThanOrEqual(p);
  });

  it('asks more of a claim when more is asked', () => {
    const alone = familyOf(outcomes.slice(0, 1), input).family;
    const together = familyOf(outcomes, input).family;
    const least = (list: typeof alone) => Math.min(...list.map(({ pStepDown }) => pStepDown));
    alone.forEach(({ outcome: id, name, pStepDown, statistic }) => {
      const same = together.find((one) => one.outcome === id && one.name === name);
      expect(same?.statistic).toBeCloseTo(statistic, 10);
      // The same seed gives the same layouts, so this holds draw for draw.
      expect(same?.pStepDown).toBeGreaterThanOrEqual(pStepDown);
    });
    expect(least(together)).toBeLessThan(0.05);
  });

  it('leaves out outcomes without values, and has nothing to say of none', () => {
    const nothing = { id: 'none', values: table.plots.map(() => undefined) };
    expect(familyOf([nothing], input).family).toEqual([]);
    const ids = familyOf([nothing, ...outcomes], input).family.map((claim) => claim.outcome);
    expect(new Set(ids)).toEqual(new Set(outcomes.map(({ id }) => id)));
  });
});
