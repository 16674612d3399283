import { tabulate, type Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { oracleAnswers, oracleRows, plotsOnly } from '../gallery/oracle-trial';
import { gradesMethod, ordinalOf } from './grades';
import { layoutFor } from './layout';
import type { MethodInput } from './method-input';
import { plotTable } from './table';

const tol = { clmm: 1e-4, same: 1e-9 };

const rows = oracleRows('ordinal_4x5x5');
const graded: Trial = {
  ...plotsOnly(rows),
  gradeScale: { classes: [0, 1, 2, 3, 4, 5], healthy: 0 },
  scores: rows.map(({ block, trt, plant, score }) => ({
    plot: `${block}${trt}`,
    plant,
    round: 'r',
    grade: Number(score),
  })),
};

function inputOf(trial: Trial): MethodInput {
  const table = plotTable(trial, 'A');
  return {
    tally: tabulate(trial),
    table,
    layout: layoutFor(trial, table),
    control: 'A',
    round: 'r',
    seed: 1,
  };
}

function ordinal(trial: Trial) {
  const found = ordinalOf(trial, 'r', 'A', inputOf(trial));
  if (!found.known) throw new Error(found.why);
  return found.value;
}

function result(trial: Trial) {
  const found = gradesMethod(inputOf(trial));
  if (!found.known) throw new Error(found.why);
  return found.value;
}

describe('grades of 100 plants in 20 plots (oracle e_clmm_ordinal)', () => {
  const R = (oracleAnswers('e_clmm_ordinal') as { block_plot: { coef: Record<string, number> } })
    .block_plot;
  const part = ordinal(graded);

  it('odds of a worse grade are those of clmm, with limits wider than its own', () => {
    for (const { name, ratio, low, high, p, pExact } of part.versusControl!) {
      const log = R.coef[`trt${name}`];
      expect(Math.abs(Math.log(ratio!) - log)).toBeLessThan(tol.clmm);
      expect(Math.log(low!) + Math.log(high!)).toBeCloseTo(2 * log, 3);
      expect(p).toBeGreaterThan(part.fixed.find((one) => one.name === name)!.p!);
      expect(pExact).toBeGreaterThan(0);
    }
  });

  it('shares of the grades add up, and their limits stay within 0 and 1', () => {
    for (const { shares, meanGrade } of part.treatments!) {
      expect(shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
      expect(meanGrade).toBeCloseTo(
        shares.reduce((sum, { grade, share }) => sum + grade * share, 0),
        12,
      );
      for (const { low, high } of shares) expect(low! >= 0 && high! <= 1).toBe(true);
    }
  });

  it('decides by the layout, which has more arrangements than can be tried', () => {
    expect(part.decidedBy).toBe('layout');
    // 4!^5 layouts, a 24th of them walked.
    expect(part.exact).toMatchObject({ enumerated: true, layouts: String(24 ** 5) });
    expect(part.joint).toMatchObject({ df1: 3, df2: 12 });
    expect(part.proportionalOdds!.p).toBeCloseTo(0.175116, 5);
  });

  it('says in plain words which had milder grades', () => {
    const found = result(graded);
    expect(found.p).toBe(part.exact!.p);
    expect(found.versusControl.map(({ better }) => better)).toEqual([true, true, true]);
    expect(found.versusControl[1].p).toBe(part.versusControl![1].p);
    expect(found.versusControl[1].pExact).toBe(
      part.exact!.versusControl.find(({ name }) => name === 'C')!.pStepDown,
    );
    expect(found.says).toMatch(/^C had milder grades than A: odds of a worse grade, .* 0\.14 /);
  });
});

describe('what must not matter to grades', () => {
  const here = result(graded);

  it('a scale written from bad to good', () => {
    const turned: Trial = {
      ...graded,
      gradeScale: { classes: [0, 1, 2, 3, 4, 5], healthy: 5 },
      scores: graded.scores.map((score) => ({ ...score, grade: 5 - (score.grade ?? 0) })),
    };
    const there = result(turned);
    expect(there.p).toBe(here.p);
    there.versusControl.forEach(({ estimate, low, pExact, better }, i) => {
      expect(estimate).toBeCloseTo(here.versusControl[i].estimate!, 6);
      expect(low).toBeCloseTo(here.versusControl[i].low!, 6);
      expect([pExact, better]).toEqual([
        here.versusControl[i].pExact,
        here.versusControl[i].better,
      ]);
    });
  });

  it('steps between the classes, and the order of the rows', () => {
    const stretched: Trial = {
      ...graded,
      gradeScale: { classes: [0, 1, 3, 10, 40, 90], healthy: 0 },
      scores: graded.scores.toReversed().map((score) => ({
        ...score,
        grade: [0, 1, 3, 10, 40, 90][score.grade ?? 0],
      })),
    };
    const there = result(stretched);
    expect(there.p).toBeCloseTo(here.p!, 12);
    expect(there.versusControl[1].estimate).toBeCloseTo(here.versusControl[1].estimate!, 6);
  });
});

describe('grades that can carry little', () => {
  it('two treatments in three blocks: the layout can’t go below 0.05, so the model’s p stands, said', () => {
    const few: Trial = {
      ...graded,
      plots: graded.plots.filter(
        ({ treatment, block }) => 'AC'.includes(treatment) && Number(block?.slice(1)) <= 3,
      ),
    };
    const found = result({
      ...few,
      treatments: few.treatments.filter(({ name }) => 'AC'.includes(name)),
      scores: few.scores.filter(({ plot }) => few.plots.some(({ id }) => id === plot)),
    });
    expect(found.notes.join(' ')).toContain('too few arrangements');
    expect(found.versusControl.length).toBe(1);
    expect(found.versusControl[0].p).not.toBeNull();
  });

  it('all plants of one grade, or no grades: a reason in place of figures', () => {
    const alike = { ...graded, scores: graded.scores.map((score) => ({ ...score, grade: 2 })) };
    expect(gradesMethod(inputOf(alike))).toMatchObject({ known: false });
    const none = { ...graded, scores: [] };
    expect(gradesMethod({ ...inputOf(none), round: undefined })).toMatchObject({ known: false });
  });
});
