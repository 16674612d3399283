import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import blight from '../oracle/blight-ireland-2017.json';
import mungbean from '../oracle/mungbean-2015.json';
import { standardisedAudpc } from './area';
import { dayFromNumber } from '@fairbed/field';
import { plotSeries } from './course';
import { leafBalance } from './leaf-balance';
import { availableOutcomes, isOutcomeId, measureOf, outcomeIds, plotValues } from './outcomes';
import { readTrialText } from './read';
import type { Score, Trial } from './schema';
import { tabulate } from './tally';

type Parts = Partial<Trial> & { readonly scores: Score[] };

/** A trial of plots a, b ... with one treatment, unless said otherwise. */
function trialOf(
  plots: readonly string[],
  days: readonly (number | undefined)[],
  parts: Parts,
): Trial {
  return {
    format: 'fairbed-trial',
    version: 1,
    id: 't',
    title: 't',
    diseases: [{ id: 'rust', name: 'Rust' }],
    beds: [],
    treatments: [{ id: 'x', name: 'X', kind: 'unstated' }],
    design: { kind: 'completely-randomised' },
    blocks: [],
    plots: plots.map((id) => ({ id, treatment: 'x' })),
    plants: [],
    rounds: days.map((day, i) => ({
      id: `r${i}`,
      ...(day === undefined ? {} : { day: dayFromNumber(20_000 + day)! }),
    })),
    times: [],
    sprays: [],
    events: [],
    harvests: [],
    ...parts,
  };
}

const count = (
  plot: string,
  r: number,
  standing: number,
  diseased: number,
  more: Partial<Score> = {},
): Score => ({
  plot,
  round: `r${r}`,
  standing,
  diseased,
  ...more,
});
const codes = (notes: readonly { code: string }[]): string[] => notes.map(({ code }) => code);

describe('published field trials', () => {
  // Potato late blight, Ireland 2017: the authors' own relative AUDPC of all 144 plots.
  it("gives the authors' relative AUDPC of 144 plots to 1e-15", () => {
    const rows = blight.plots as [number, string, string, number, (number | null)[]][];
    const name = ([block, variety, treatment]: (typeof rows)[number]) =>
      `${block}/${variety}/${treatment}`;
    const trial = trialOf(rows.map(name), blight.days, {
      scores: rows.flatMap((row) =>
        row[4].map((severity, r) => ({ plot: name(row), round: `r${r}`, severity: severity! })),
      ),
    });
    const { values, unit } = plotValues(trial, 'audpc-severity-standardised');
    expect(unit).toBe('%');
    expect(values.size).toBe(144);
    for (const row of rows) {
      expect(Math.abs(values.get(name(row))! / 100 - row[3])).toBeLessThanOrEqual(1e-15);
    }
    expect(availableOutcomes(trial)[0]).toBe('audpc-severity');
  });

  // Powdery mildew of mungbean, Hermitage 2015: grades 1 to 9, 1 healthy; means printed by R to
  // one decimal. The area under steps from healthy is that of the raw grades less 36 days x 1.
  it('gives the treatment means of the area under the mungbean grades', () => {
    const rows = mungbean.plots as [string, string, string, number[]][];
    const start = Date.parse(mungbean.dates[0]) / 86_400_000;
    const days = mungbean.dates.map((d) => Date.parse(d) / 86_400_000 - start);
    const trial = trialOf(
      rows.map(([plot]) => plot),
      days,
      {
        gradeScale: { classes: [1, 2, 3, 4, 5, 6, 7, 8, 9], healthy: 1 },
        valueMeasure: { name: 'Grade', better: 'lower' },
        scores: rows.flatMap(([plot, , , grades]) =>
          grades.map((grade, r) => ({ plot, round: `r${r}`, grade, value: grade })),
        ),
      },
    );
    const steps = plotValues(trial, 'audpc-grade');
    const raw = plotValues(trial, 'audpc-value');
    expect(steps.unit).toBe('grade-days');
    const printed = 0.05 + 1e-9;
    for (const [treatment, expected] of Object.entries(mungbean.meansOfRawAudpc)) {
      const own = rows.filter((row) => row[2] === treatment).map(([plot]) => plot);
      const mean = (of: typeof raw) =>
        own.reduce((sum, plot) => sum + of.values.get(plot)!, 0) / own.length;
      expect(own).toHaveLength(5);
      expect(Math.abs(mean(raw) - expected)).toBeLessThan(printed);
      expect(Math.abs(mean(steps) + 36 - expected)).toBeLessThan(printed);
    }
    expect(availableOutcomes(trial)[0]).toBe('audpc-grade');
  });
});

describe('incidence of a plot', () => {
  // 1 of 2 leaves and 1 of 18: 2 of 20 leaves are diseased, though the mean of the shares is 27.8.
  it('is diseased leaves over standing leaves of all its plants', () => {
    const trial = trialOf(['a'], [0], {
      scores: [count('a', 0, 2, 1, { plant: '1' }), count('a', 0, 18, 1, { plant: '2' })],
    });
    expect(plotValues(trial, 'incidence-last').values.get('a')).toBe(10);
  });

  it('adds up the leaf positions and leaves out guard plants and other diseases', () => {
    const trial = trialOf(['a'], [0], {
      diseases: [
        { id: 'rust', name: 'Rust' },
        { id: 'spot', name: 'Spot' },
      ],
      plants: [
        { id: '1', plot: 'a' },
        { id: '2', plot: 'a', guard: true },
      ],
      scores: [
        count('a', 0, 6, 3, { plant: '1', leafPosition: 'old' }),
        count('a', 0, 4, 1, { plant: '1', leafPosition: 'new', disease: 'rust' }),
        count('a', 0, 10, 10, { plant: '1', disease: 'spot' }),
        count('a', 0, 10, 10, { plant: '2' }),
      ],
    });
    expect(plotValues(trial, 'incidence-last').values.get('a')).toBe(40);
  });

  it('has no value where no leaf stands', () => {
    const trial = trialOf(['a', 'b'], [0], { scores: [count('a', 0, 0, 0), count('b', 0, 5, 1)] });
    const { values, reasons } = plotValues(trial, 'incidence-last');
    expect(values.get('a')).toBeUndefined();
    expect(reasons.get('a')).toContain('no leaf stood');
  });

  it('sets rows aside that can not be, and says so', () => {
    const trial = trialOf(['a', 'b'], [0], {
      scores: [
        count('a', 0, 5, 6, { plant: '1' }),
        count('a', 0, 10, 2, { plant: '2' }),
        count('b', 0, 5, 1, { stripped: 6 }),
      ],
    });
    const { values, notes } = plotValues(trial, 'incidence-last');
    expect(values.get('a')).toBe(20);
    expect(values.get('b')).toBeUndefined();
    expect(codes(notes).filter((code) => code === 'impossible-count')).toHaveLength(2);
    expect(notes[0]?.what).toContain('6 diseased leaves of 5 standing');
  });
});

describe('rounds', () => {
  const level = (plots: readonly string[], rounds: readonly number[]) =>
    plots.flatMap((plot) => rounds.map((r) => count(plot, r, 10, r + 1)));

  it('are put in the order of their days, unequal gaps and all', () => {
    const trial = trialOf(['a'], [21, 0, 9], {
      scores: [count('a', 1, 10, 1), count('a', 2, 10, 2), count('a', 0, 10, 5)],
    });
    // (10 + 20) / 2 x 9 + (20 + 50) / 2 x 12, by hand.
    expect(plotValues(trial, 'audpc-incidence').values.get('a')).toBe(135 + 420);
    expect(plotValues(trial, 'incidence-last').values.get('a')).toBe(50);
    expect(plotValues(trial, 'incidence-first').values.get('a')).toBe(10);
  });

  it('missed by one plot are bridged by the straight line, with the days named', () => {
    const trial = trialOf(['a', 'b', 'c'], [0, 7, 14], {
      scores: [...level(['a', 'b'], [0, 1, 2]), ...level(['c'], [0, 2])],
    });
    const { values, notes } = plotValues(trial, 'audpc-incidence');
    expect(values.get('c')).toBe(values.get('a'));
    expect(codes(notes)).toEqual(['round-bridged']);
    expect(notes[0]?.what).toContain('at most 14 days');
    expect(plotValues(trial, 'incidence-mean').values.get('c')).toBe(20);
    expect(plotValues(trial, 'audps-incidence').values.get('c')).toBe(
      plotValues(trial, 'audps-incidence').values.get('a'),
    );
  });

  it('missed at the end leave a plot without a value, never with an older one', () => {
    const trial = trialOf(['a', 'b', 'c'], [0, 7, 14], {
      scores: [...level(['a', 'b'], [0, 1, 2]), ...level(['c'], [0, 1])],
    });
    const last = plotValues(trial, 'incidence-last');
    expect(last.values.get('c')).toBeUndefined();
    expect(last.reasons.get('c')).toContain('last round');
    expect(plotValues(trial, 'audpc-incidence').values.get('c')).toBeUndefined();
    expect(plotValues(trial, 'incidence-first').values.get('c')).toBe(10);
  });

  it('broken off after a few plots are left out for all, and that is said', () => {
    const trial = trialOf(['a', 'b', 'c'], [0, 7, 14], {
      scores: [...level(['a', 'b', 'c'], [0, 1]), ...level(['a'], [2])],
    });
    const { values, last, notes } = plotValues(trial, 'incidence-last');
    expect(last?.id).toBe('r1');
    expect([...values.values()]).toEqual([20, 20, 20]);
    expect(notes[0]?.what).toContain('only 1 of 3 plots');
  });

  it('of a lost plot end when it was lost; a later score is set aside', () => {
    const trial = trialOf(['a', 'b'], [0, 7, 14], {
      scores: level(['a', 'b'], [0, 1, 2]),
    });
    trial.plots[1].lost = { day: dayFromNumber(20_010)!, why: 'dug up by a fox' };
    const { values, reasons, notes, last } = plotValues(trial, 'incidence-last');
    expect(last?.id).toBe('r2');
    expect(values.get('b')).toBeUndefined();
    expect(reasons.get('b')).toContain('dug up by a fox');
    expect(codes(notes)).toContain('scored-after-lost');
  });

  it('without dates count as 0, 1, 2 and the unit says rounds', () => {
    const trial = trialOf(['a'], [undefined, undefined, undefined], {
      scores: level(['a'], [0, 1, 2]),
    });
    const { values, unit, notes } = plotValues(trial, 'audpc-incidence');
    expect(values.get('a')).toBe(40);
    expect(unit).toBe('%-rounds');
    expect(codes(notes)).toContain('rounds-without-dates');
    expect(availableOutcomes(trial)[0]).toBe('incidence-last');
  });

  it('named by numbers are days', () => {
    const trial = trialOf(['a'], [undefined, undefined, undefined], {
      scores: level(['a'], [0, 1, 2]),
    });
    trial.rounds.forEach((round, i) => (round.name = `${[0, 14, 7][i]}`));
    const { unit, last, notes } = plotValues(trial, 'audpc-incidence');
    expect(unit).toBe('%-days');
    expect(last?.id).toBe('r1');
    expect(codes(notes)).toContain('days-from-names');
  });
});

describe('stripping', () => {
  // The briefing example again, now through a trial document.
  const standing = [20, 18, 15, 11];
  const plant = (r: number) => count('a', r, standing[r], r + 2, { plant: '1', stripped: r + 2 });
  const trial = trialOf(['a'], [0, 7, 14, 21], { scores: [0, 1, 2, 3].map(plant) });

  it('hides disease from incidence and its area, not from the cumulative ones', () => {
    const value = (id: Parameters<typeof plotValues>[1]) => plotValues(trial, id).values.get('a')!;
    expect(value('audpc-incidence')).toBeCloseTo(497.4, 1);
    expect(value('audpc-incidence-cumulative')).toBeCloseTo(770, 10);
    expect(value('incidence-cumulative-last')).toBe(70);
    expect(value('diseased-cumulative')).toBe(14);
    expect(value('stripped-total')).toBe(14);
    // Healthy: 18, 15, 11, 6; stripping takes none of them. By hand 7 x (16.5 + 13 + 8.5).
    expect(value('healthy-leaf-days')).toBe(266);
  });

  it('brings the cumulative count to the front of the list', () => {
    expect(availableOutcomes(trial).slice(0, 2)).toEqual([
      'audpc-incidence',
      'diseased-cumulative',
    ]);
  });

  it('of healthy leaves is questioned, not counted as disease, and lowers the healthy area', () => {
    const bare = trialOf(['a'], [0, 7], {
      scores: [count('a', 0, 10, 2, { stripped: 5 }), count('a', 1, 6, 1, { stripped: 0 })],
    });
    const cumulative = plotValues(bare, 'diseased-cumulative');
    expect(cumulative.values.get('a')).toBe(3);
    expect(codes(cumulative.notes)).toContain('healthy-leaves-stripped');
    // 8 healthy, 3 of them stripped, 5 a week later.
    expect(plotValues(bare, 'healthy-leaf-days').values.get('a')).toBe(35);
  });

  it('never written down leaves the cumulative outcomes away', () => {
    const none = trialOf(['a'], [0, 7], { scores: [count('a', 0, 10, 2), count('a', 1, 10, 2)] });
    expect(availableOutcomes(none)).not.toContain('diseased-cumulative');
    const { values, notes } = plotValues(none, 'diseased-cumulative');
    expect(values.get('a')).toBeUndefined();
    expect(codes(notes)).toContain('not-recorded');
  });

  it('of a plot scored in whole is shared among its plants', () => {
    const whole = trialOf(['a'], [0, 7], {
      plants: ['1', '2'].map((id) => ({ id, plot: 'a' })),
      scores: [count('a', 0, 20, 4, { stripped: 4 }), count('a', 1, 18, 2, { stripped: 0 })],
    });
    const { values, unit } = plotValues(whole, 'diseased-cumulative');
    expect(values.get('a')).toBe(3);
    expect(unit).toBe('leaves per plant');
  });
});

describe('outcomes', () => {
  it('of the plan come first where they can be computed', () => {
    const scores = [0, 1, 2].map((r) => count('a', r, 10, r));
    const trial = trialOf(['a'], [0, 7, 14], { scores, plan: { outcome: 'incidence-mean' } });
    expect(availableOutcomes(trial)[0]).toBe('incidence-mean');
    const other = trialOf(['a'], [0, 7, 14], { scores, plan: { outcome: 'severity-last' } });
    expect(availableOutcomes(other)[0]).toBe('audpc-incidence');
  });

  it('of one round are those of the last one', () => {
    const trial = trialOf(['a'], [0], {
      valueMeasure: { name: 'Yield', unit: 'kg', better: 'higher' },
      scores: [
        { plot: 'a', round: 'r0', value: 3, baseline: 2 },
        { plot: 'a', plant: '2', round: 'r0', value: 5, baseline: 3 },
      ],
    });
    expect(availableOutcomes(trial)).toEqual(['value-last', 'baseline-value']);
    expect(plotValues(trial, 'value-last')).toMatchObject({
      unit: 'kg',
      better: 'higher',
      title: 'Yield, last round',
    });
    expect(plotValues(trial, 'value-last').values.get('a')).toBe(4);
    expect(plotValues(trial, 'baseline-value').values.get('a')).toBe(2.5);
  });

  it('count the days to the first disease, none for a plot that stays clean', () => {
    const trial = trialOf(['a', 'b'], [0, 7, 14], {
      scores: ['a', 'b'].flatMap((plot) =>
        [0, 1, 2].map((r) => count(plot, r, 10, plot === 'a' && r > 0 ? 1 : 0)),
      ),
    });
    const { values, reasons, better, unit } = plotValues(trial, 'onset-days');
    expect([values.get('a'), values.get('b'), better, unit]).toEqual([
      7,
      undefined,
      'higher',
      'days',
    ]);
    expect(reasons.get('b')).toContain('no disease');
  });

  it('know their ids and the measure behind them', () => {
    expect(outcomeIds.every(isOutcomeId)).toBe(true);
    expect(isOutcomeId('constructor')).toBe(false);
    const trial = trialOf(['a'], [0], { scores: [{ plot: 'a', round: 'r0', severity: 3 }] });
    expect(measureOf(trial, 'onset-days')).toBe('severity');
    expect(measureOf(trial, 'audps-incidence')).toBe('incidence');
  });

  it('come out the same from a trial and from its tally', () => {
    const trial = trialOf(['a'], [0, 7], { scores: [count('a', 0, 10, 1), count('a', 1, 10, 4)] });
    const tally = tabulate(trial);
    for (const id of outcomeIds) expect(plotValues(tally, id)).toEqual(plotValues(trial, id));
    expect(
      plotSeries(tally, 'incidence')
        .plots.get('a')
        ?.map((p) => [p.day, p.value]),
    ).toEqual([
      [0, 10],
      [7, 40],
    ]);
    expect(standardisedAudpc([0, 7], [10, 40])).toBe(
      plotValues(tally, 'audpc-incidence-standardised').values.get('a'),
    );
  });

  it('refuse a table of plots times rounds that would fill the memory', () => {
    const many = trialOf(
      Array.from({ length: 4000 }, (_, i) => `p${i}`),
      Array.from({ length: 3000 }, (_, i) => i),
      { scores: [] },
    );
    expect(() => tabulate(many)).toThrow('Check which column names the plot');
  });
});

describe('the pages', () => {
  const page = (name: string) =>
    readFileSync(new URL(`../../../docs/${name}`, import.meta.url), 'utf8');

  it('docs/measures.md explains every outcome by its id', () => {
    const text = page('measures.md');
    expect(outcomeIds.filter((id) => !text.includes(`\`${id}\``))).toEqual([]);
  });

  it('the example of docs/trial-format.md is a trial, and its leaves add up', () => {
    const example = /```json\n([\s\S]*?)```/.exec(page('trial-format.md'))?.[1] ?? '';
    const read = readTrialText(example);
    if (!read.ok) throw new Error(read.problems[0]?.what);
    expect(read.notes).toEqual([]);
    const { accounts, problems } = leafBalance(read.trial);
    expect(accounts[0]?.entries[1]).toMatchObject({ newLeaves: 4, cumulativeDiseased: 5 });
    expect(problems).toEqual([]);
  });
});
