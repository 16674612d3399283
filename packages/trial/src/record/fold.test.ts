import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readTrial } from '../read';
import { trialFrom } from './fold';
import { recordKinds } from './kinds';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { plantThing, scoreFields, scoreThing } from './things';

const score = (round: string, plot: string, plant: string, figures: object, day?: string): Line[] =>
  Object.entries(figures).map(([field, value]) => [
    'score',
    scoreThing({ round, plot, plant, field: field as 'standing' }),
    value as unknown,
    day,
    'Ada',
  ]);
const fold = (...lines: Line[]) => trialFrom('t1', ledgerOf([...plannedLines, ...lines]));

describe('a ledger folds to a trial', () => {
  it('of plan, layout, rounds and scores', () => {
    const { trial, problems } = fold(
      ['round', 'r1', { day: '2026-06-01' }, '2026-06-01'],
      ...score('r1', '1', '1', { standing: 9, diseased: 2, lost: [] }),
      ...score('r1', '1', '2', { skipped: 'under a net' }),
      ...score('r1', '2', '1', { standing: 7, note: 'slugs' }),
      ...score('r1', '2', '1', { standing: 8 }),
    );
    expect(problems).toEqual([]);
    expect(readTrial(trial)).toEqual({ ok: true, trial, notes: [] });
    expect(trial.design).toEqual({ kind: 'randomised-blocks', seed: 7, randomised: true });
    expect(trial.plots[1]).toEqual({ id: '2', code: 'M3', treatment: 'copper', block: 'A' });
    expect(trial.blocks).toEqual([
      { id: 'A', name: 'A' },
      { id: 'B', name: 'B' },
    ]);
    expect(trial.plants).toHaveLength(8);
    expect(trial.rounds).toEqual([{ id: 'r1', day: '2026-06-01', stripping: true, blind: true }]);
    expect(trial.scores).toEqual([
      { plot: '1', plant: '1', round: 'r1', standing: 9, diseased: 2, lost: [], by: 'Ada' },
      { plot: '2', plant: '1', round: 'r1', standing: 8, note: 'slugs', by: 'Ada' },
    ]);
    expect(trial.skipped).toEqual([{ plot: '1', plant: '2', round: 'r1', why: 'under a net' }]);
    expect(trial.plan?.draws).toEqual([{ number: 1, seed: 7, day: '2026-05-02' }]);
  });

  it('even when it is empty', () => {
    const { trial, problems } = trialFrom('', ledgerOf([]));
    expect(problems).toEqual([]);
    expect(readTrial(trial).ok).toBe(true);
    expect(trial).toMatchObject({ id: 'trial', title: 'Untitled trial', plots: [], scores: [] });
  });

  it('with the draw of the highest number that stands, and leaves out what it did away with', () => {
    const second = {
      seed: 8,
      day: '2026-05-03',
      request: { kind: 'randomised-blocks' },
      layout: [{ plot: '2', code: 'Z2', treatment: 'none', block: 'A' }],
    };
    const lines: Line[] = [
      ['draw', '2', second],
      ['round', 'r1', { day: '2026-06-01' }],
      ...score('r1', '1', '1', { standing: 9 }),
      ['lost-plot', '4', { why: 'a fox' }],
      ['spray', 's', { day: '2026-06-02', treatment: 'copper', plots: ['3'] }],
    ];
    const { trial, problems } = fold(...lines);
    expect(trial.plots.map(({ code }) => code)).toEqual(['Z2']);
    expect(trial.scores).toEqual([]);
    expect(trial.sprays).toEqual([]);
    expect(problems.map(({ what }) => what)).toEqual([
      'Lost plot “4” was left out: the layout has no such plot.',
      'A spray of 2026-06-02 was left out: there is no plot “3”.',
      'A score of plot “1”, plant “1”, round “r1” was left out: the layout has no such plot.',
    ]);
    // The first layout comes back when the second is taken back.
    expect(fold(...lines, ['draw', '2', null]).trial.plots).toHaveLength(4);
  });

  it('taking two rounds of one day as one, the later figure standing', () => {
    const { trial, problems } = fold(
      ['round', 'r1', { day: '2026-06-01' }],
      ['round', 'r2', { day: '2026-06-01' }],
      ...score('r1', '1', '1', { standing: 9 }),
      ...score('r2', '1', '1', { standing: 10, diseased: 1 }),
    );
    expect(trial.rounds.map(({ id }) => id)).toEqual(['r1']);
    expect(trial.scores).toMatchObject([{ round: 'r1', standing: 10, diseased: 1 }]);
    expect(problems.map(({ code }) => code)).toEqual(['two-rounds-a-day']);
  });

  it('without counting leaves twice, of a plot in whole and of its plants', () => {
    const whole = scoreThing({ round: 'r1', plot: '1', field: 'standing' });
    const note = scoreThing({ round: 'r1', plot: '1', field: 'note' });
    const { trial, problems } = fold(
      ['round', 'r1', { day: '2026-06-01' }],
      ['score', whole, 30],
      ['score', note, 'two slugs'],
      ...score('r1', '1', '1', { standing: 9 }),
    );
    expect(trial.scores).toHaveLength(1);
    expect(trial.notes).toMatchObject([{ text: 'two slugs', plot: '1', round: 'r1' }]);
    expect(problems[0]?.what).toContain('in whole was left out');
  });

  it('calls a round blind until the reveal, and not when a figure came after it', () => {
    const lines: Line[] = [
      ['round', 'r1', { day: '2026-06-01' }],
      ['round', 'r2', { day: '2026-06-08' }],
      ...score('r1', '1', '1', { standing: 9 }),
      ['reveal', 'reveal', { day: '2026-06-07' }],
      ...score('r2', '1', '1', { standing: 9 }),
    ];
    const { trial } = fold(...lines);
    expect(trial.rounds.map(({ blind }) => blind)).toEqual([true, false]);
    expect(trial.plan?.blind).toBe(false);
    expect(trial.reveal).toEqual({ day: '2026-06-07' });
    expect(fold(...lines.slice(0, 3)).trial.plan?.blind).toBe(true);
    expect(fold(...lines.slice(0, 3), ['plan', 'blind', false]).trial.plan?.blind).toBe(false);
  });
});

/** Ids few enough that they meet, and some that are awkward. */
const id = fc.constantFrom('1', '2', 'a', 'rust', 'r1', 'none', 'a/b', 'toString', 'ü', ' ');
const day = fc.constantFrom('2026-06-01', '2026-06-02', '2026-06-08', '2026-05-31');
const few = <T>(of: fc.Arbitrary<T>) => fc.array(of, { maxLength: 5 });
const maybe = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined, freq: 2 });
const words = fc.string({ maxLength: 12 });
const leaves = fc.integer({ min: 0, max: 12 });
const record = (fields: Readonly<Record<string, fc.Arbitrary<unknown>>>) =>
  fc.record(fields).map((made) => JSON.parse(JSON.stringify(made)) as unknown);

const treatment = fc.record({
  id,
  name: fc.constantFrom('A', 'B', '__proto__'),
  kind: fc.constantFrom('untreated', 'product', 'practice'),
});
const planValue: Readonly<Record<string, fc.Arbitrary<unknown>>> = {
  title: words,
  diseases: few(fc.record({ id, name: words })),
  treatments: few(treatment),
  control: id,
  beds: few(
    fc.record({
      id,
      name: words,
      width: fc.double({ noNaN: true, noDefaultInfinity: true }),
      height: leaves,
    }),
  ),
  design: fc.record({ kind: fc.constantFrom('latin-square', 'split-plot', 'randomised-blocks') }),
  rounds: record({
    count: fc.integer({ min: 1, max: 5 }),
    everyDays: leaves,
    firstDay: maybe(day),
  }),
  looks: record({
    spending: fc.constantFrom('late', 'even', 'never'),
    rounds: maybe(few(fc.integer({ min: 0, max: 3 }))),
  }),
  stripping: fc.constantFrom('all-diseased', 'none', 'some'),
  plantsPerPlot: fc.integer({ min: 1, max: 3 }),
  gradeScale: fc.record({ classes: few(leaves), healthy: leaves }),
  valueMeasure: fc.record({ name: words, better: fc.constantFrom('lower', 'higher') }),
  outcome: fc.constantFrom('incidence-last', 'toString'),
  worthHaving: fc.integer({ min: 0, max: 100 }),
  newer: fc.jsonValue(),
};
const place = record({ bed: id, x: leaves, y: leaves, width: leaves, height: leaves });
const plotRow = record({
  plot: id,
  code: words,
  treatment: id,
  block: maybe(id),
  place: maybe(place),
});
const line = (kind: string, thing: fc.Arbitrary<string>, value: fc.Arbitrary<unknown>) =>
  fc.tuple(
    fc.constant(kind),
    thing,
    fc.oneof({ weight: 9, arbitrary: value }, { weight: 1, arbitrary: fc.constant(null) }),
  );
const lost = fc.array(fc.record({ leaves, why: fc.constantFrom('storm', 'age') }), {
  maxLength: 2,
});
const scoreLine = fc
  .record({
    round: id,
    plot: id,
    plant: fc.oneof(id, fc.constant('')),
    disease: fc.oneof(id, fc.constant('')),
    field: fc.constantFrom(...scoreFields),
  })
  .map(scoreThing);
/** Scores of plots, plants and rounds that mostly are there. */
const likelyScore = fc
  .record({
    round: fc.constantFrom('r1', 'r2', 'r3'),
    plot: fc.constantFrom('1', '2', '3', '4'),
    plant: fc.constantFrom('1', '2', '3', ''),
    disease: fc.constantFrom('', 'rust'),
    field: fc.constantFrom('standing', 'diseased', 'stripped', 'grade', 'note', 'skipped'),
  })
  .map(scoreThing);
const about = { plot: maybe(id), round: maybe(id), plant: maybe(id), day };

const anyLine: fc.Arbitrary<Line> = fc.oneof(
  fc
    .constantFrom(...Object.keys(planValue))
    .chain((field) => line('plan', fc.constant(field), planValue[field] ?? words)),
  line(
    'draw',
    fc.constantFrom('1', '2'),
    record({ seed: leaves, day, layout: few(plotRow), request: planValue['design'] ?? words }),
  ),
  line(
    'seal',
    fc.constant('seal'),
    record({
      hash: fc.constant('0'.repeat(64)),
      day,
      plan: fc.dictionary(fc.constantFrom(...Object.keys(planValue), 'draw'), fc.jsonValue()),
    }),
  ),
  line('reveal', fc.constant('reveal'), record({ day, why: maybe(words) })),
  line(
    'round',
    id,
    record({ day, done: maybe(fc.boolean()), baseline: maybe(fc.boolean()), name: maybe(words) }),
  ),
  { weight: 5, arbitrary: line('score', scoreLine, fc.oneof(leaves, words, lost)) },
  { weight: 20, arbitrary: line('score', likelyScore, fc.oneof(leaves, words)) },
  line('lost-plot', id, record({ day: maybe(day), why: words })),
  line(
    'plant',
    fc.tuple(id, id).map(([plot, plant]) => plantThing(plot, plant)),
    record({ guard: maybe(fc.boolean()), note: maybe(words) }),
  ),
  line('spray', id, record({ day, treatment: id, plots: maybe(few(id)) })),
  line('event', id, record({ day, kind: fc.constantFrom('hail', 'storm'), plots: maybe(few(id)) })),
  line('harvest', id, record({ day, plot: id, grams: maybe(leaves) })),
  line(
    'photo',
    fc.constantFrom('a'.repeat(64), 'b'.repeat(64)),
    record({
      ...about,
      width: leaves,
      height: leaves,
      bytes: leaves,
      type: fc.constant('image/jpeg'),
    }),
  ),
  line('note', id, record({ ...about, text: words })),
);

/** Some trials need a plan that fits, or nearly all of them would be empty. */
const rounds: readonly Line[] = [
  ['round', 'r1', { day: '2026-06-01' }],
  ['round', 'r2', { day: '2026-06-08' }],
];
const whole = [...plannedLines, ...rounds];
const started = fc.constantFrom([], plannedLines.slice(0, 8), whole, whole, whole);

describe('whatever good values a ledger holds', () => {
  const good = ([kind, thing, value]: Line): boolean =>
    recordKinds.find(({ name }) => name === kind)?.read(thing, value) === undefined;

  it('they fold to a trial that is read without a problem', () => {
    let rich = 0;
    fc.assert(
      fc.property(started, fc.array(anyLine, { maxLength: 60, size: 'max' }), (first, lines) => {
        const kept = [...first, ...lines.filter(good)];
        const { trial } = trialFrom('t', ledgerOf(kept));
        const read = readTrial(JSON.parse(JSON.stringify(trial)));
        if (!read.ok) throw new Error(read.problems.map(({ what }) => what).join('\n'));
        expect(read.notes).toEqual([]);
        if (trial.scores.length > 1 && trial.plots.length > 1) rich++;
      }),
      { numRuns: 600, seed: 20261125 },
    );
    // The property would be empty if hardly any of these trials had scores.
    expect(rich).toBeGreaterThan(60);
  });

  it('any value at all is left out or read, and never stops the fold', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(
            fc.constantFrom(...recordKinds.map(({ name }) => name)),
            fc.oneof(id, scoreLine, fc.constantFrom('seal', 'reveal', 'treatments', 'rounds')),
            fc.jsonValue(),
          ),
          { maxLength: 30 },
        ),
        (lines) => {
          const { trial } = trialFrom('t', ledgerOf([...plannedLines, ...lines]));
          expect(readTrial(JSON.parse(JSON.stringify(trial))).ok).toBe(true);
        },
      ),
      { numRuns: 300, seed: 3 },
    );
  });
});
