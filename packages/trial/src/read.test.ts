import { describe, expect, it } from 'vitest';
import { type Migration, migrateDown, migrateUp } from './migrate';
import { readTrial, readTrialText } from './read';

const good = (): Record<string, unknown> => ({
  format: 'fairbed-trial',
  version: 1,
  id: 't1',
  title: 'Two waters',
  diseases: [
    { id: 'rust', name: 'Rust' },
    { id: 'spot', name: 'Spot' },
  ],
  beds: [{ id: 'bed', name: 'Long bed', width: 4, height: 1 }],
  treatments: [
    { id: 'none', name: 'Untreated', kind: 'untreated' },
    { id: 'morning', name: 'Morning water', kind: 'practice' },
  ],
  control: 'none',
  design: { kind: 'randomised-blocks' },
  blocks: [{ id: '1', name: 'North' }],
  plots: [
    { id: 'a', treatment: 'none', block: '1' },
    { id: 'b', treatment: 'morning', block: '1' },
  ],
  plants: [
    { id: '1', plot: 'a' },
    { id: '1', plot: 'b' },
  ],
  rounds: [
    { id: 'r1', day: '2026-05-04' },
    { id: 'r2', day: '2026-05-11' },
  ],
  scores: [
    { plot: 'a', plant: '1', round: 'r1', standing: 10, diseased: 2 },
    { plot: 'b', plant: '1', round: 'r1', standing: 9, diseased: 0 },
  ],
  times: [],
  sprays: [],
  events: [],
  harvests: [],
});

const problemsOf = (json: unknown) => {
  const read = readTrial(json);
  return read.ok ? [] : read.problems;
};
const first = (json: unknown) => problemsOf(json)[0];
const withScore = (score: object) => ({ ...good(), scores: [...(good()['scores'] as []), score] });

describe('a trial in order', () => {
  it('is read, with nothing to remark', () => {
    const read = readTrial(good());
    expect(read.ok && read.trial.plots.length).toBe(2);
    expect(read.ok && read.notes).toEqual([]);
  });

  it('names fields it does not know, each once, and reads the rest', () => {
    const scores = (good()['scores'] as object[]).map((s) => ({ ...s, colour: 'red' }));
    const read = readTrial({ ...good(), scores, mood: 'fine' });
    expect(read.ok && read.notes.map((n) => n.what.split(':')[0]).sort()).toEqual([
      'At mood',
      'At scores.*.colour',
    ]);
  });

  it('is read from text, a byte order mark or not', () => {
    expect(readTrialText(`\uFEFF${JSON.stringify(good())}`).ok).toBe(true);
    const cut = readTrialText(JSON.stringify(good()).slice(0, 300));
    expect(!cut.ok && cut.problems[0]?.code).toBe('not-json');
  });
});

describe('the wrong shape', () => {
  it.each([
    ['no list', [], 'not-a-trial'],
    ['a text', 'trial', 'not-a-trial'],
    ['null', null, 'not-a-trial'],
    ['another format', { ...good(), format: 'tomatoes' }, 'not-a-trial'],
    ['no version', { ...good(), version: undefined }, 'no-version'],
    ['a half version', { ...good(), version: 1.5 }, 'no-version'],
    ['version 0', { ...good(), version: 0 }, 'no-version'],
    ['a later version', { ...good(), version: 2 }, 'newer-version'],
  ])('%s is refused', (_name, json, code) => expect(first(json).code).toBe(code));

  it('says where, what was expected and what stood there', () => {
    const whats = (score: object) => first(withScore({ plot: 'a', round: 'r2', ...score })).what;
    expect(whats({ standing: 2.5 })).toBe(
      'At scores.2.standing: expected a whole number, got 2.5.',
    );
    expect(whats({ diseased: -1 })).toBe('At scores.2.diseased: expected 0 or more, got -1.');
    expect(whats({ severity: 101 })).toBe('At scores.2.severity: expected 100 or less, got 101.');
    expect(whats({ severity: Number.NaN })).toBe(
      'At scores.2.severity: expected a number, got NaN.',
    );
    expect(whats({ standing: '7' })).toBe('At scores.2.standing: expected a number, got "7".');
    expect(whats({ leafPosition: 'top' })).toContain('one of old, middle, new, got "top"');
    expect(first({ ...good(), rounds: [{ id: 'r1', day: '2026-02-30' }] }).what).toBe(
      'At rounds.0.day: expected a day such as 2026-05-04, got "2026-02-30".',
    );
    expect(first({ ...good(), plots: undefined })).toMatchObject({
      code: 'missing',
      what: 'At plots: expected a list, got nothing.',
    });
  });

  it('stops after 200 problems and says how many more there are', () => {
    const scores = Array.from({ length: 1000 }, () => ({ plot: 'a', round: 'r1', diseased: -1 }));
    const problems = problemsOf({ ...good(), scores });
    expect(problems).toHaveLength(201);
    expect(problems[200]?.what).toContain('800 more');
  });
});

describe('ids that lead nowhere or stand twice', () => {
  const plot = (part: object) => ({ ...good(), plots: [{ id: 'a', treatment: 'none', ...part }] });
  it.each([
    ['a plot of an unknown treatment', plot({ treatment: 'x' }), 'unknown-treatment'],
    ['a plot in an unknown block', plot({ block: '9' }), 'unknown-block'],
    [
      'a plot in an unknown bed',
      plot({ place: { bed: 'x', x: 0, y: 0, width: 1, height: 1 } }),
      'unknown-bed',
    ],
    ['a control that is no treatment', { ...good(), control: 'x' }, 'control-not-a-treatment'],
    ['a score of an unknown plot', withScore({ plot: 'z', round: 'r2' }), 'unknown-plot'],
    ['a score at an unknown round', withScore({ plot: 'a', round: 'r9' }), 'unknown-round'],
    [
      'a score of an unknown plant',
      withScore({ plot: 'a', plant: '7', round: 'r2' }),
      'unknown-plant',
    ],
    [
      'a score of an unknown disease',
      withScore({ plot: 'a', round: 'r2', disease: 'x' }),
      'unknown-disease',
    ],
    [
      'the same score twice',
      withScore({ plot: 'a', plant: '1', round: 'r1', disease: 'rust', standing: 10 }),
      'duplicate-score',
    ],
    ['a plot in whole and by plant', withScore({ plot: 'a', round: 'r1' }), 'whole-and-parts'],
    [
      'a plant in whole and by leaf position',
      withScore({ plot: 'a', plant: '1', round: 'r1', leafPosition: 'old' }),
      'whole-and-parts',
    ],
    [
      'a photo of an unknown plot',
      {
        ...good(),
        photos: [
          {
            hash: 'a'.repeat(64),
            day: '2026-05-04',
            plot: 'z',
            width: 9,
            height: 9,
            bytes: 9,
            type: 'image/jpeg',
          },
        ],
      },
      'unknown-plot',
    ],
    [
      'a plant skipped at an unknown round',
      { ...good(), skipped: [{ plot: 'a', round: 'r9', why: 'wet' }] },
      'unknown-round',
    ],
    [
      'the same note twice',
      { ...good(), notes: ['x', 'y'].map((text) => ({ id: 'n', text, day: '2026-05-04' })) },
      'duplicate-id',
    ],
    ['a grade with no scale', withScore({ plot: 'a', round: 'r2', grade: 2 }), 'not-a-class'],
    ['a value with no name', withScore({ plot: 'a', round: 'r2', value: 2 }), 'value-not-named'],
    [
      'a healthy class in the middle',
      { ...good(), gradeScale: { classes: [0, 1, 2], healthy: 1 } },
      'healthy-not-at-an-end',
    ],
    [
      'two rounds on one day',
      { ...good(), rounds: ['r1', 'r2'].map((id) => ({ id, day: '2026-05-04' })) },
      'duplicate-day',
    ],
    [
      'two treatments of one name',
      {
        ...good(),
        treatments: ['none', 'morning'].map((id) => ({ id, name: 'x', kind: 'product' })),
      },
      'duplicate-name',
    ],
    [
      'a spray of an unknown treatment',
      { ...good(), sprays: [{ day: '2026-05-05', treatment: 'x' }] },
      'unknown-treatment',
    ],
    [
      'a storm on an unknown plot',
      { ...good(), events: [{ day: '2026-05-05', kind: 'storm', plots: ['a', 'q'] }] },
      'unknown-plot',
    ],
  ])('%s is refused', (_name, json, code) =>
    expect(problemsOf(json).map((p) => p.code)).toContain(code),
  );

  it('allows two diseases on the leaves of one plant, and positions apart', () => {
    const scores = [
      { plot: 'a', plant: '1', round: 'r1', leafPosition: 'old', standing: 4, diseased: 1 },
      { plot: 'a', plant: '1', round: 'r1', leafPosition: 'new', standing: 4, diseased: 0 },
      { plot: 'a', plant: '1', round: 'r1', disease: 'spot', diseased: 1 },
    ];
    expect(readTrial({ ...good(), scores }).ok).toBe(true);
  });

  it('allows parts of a plant, each once', () => {
    const shoot = (part: string) => ({ plot: 'a', plant: '1', round: 'r1', part, standing: 4 });
    expect(readTrial({ ...good(), scores: [shoot('S1'), shoot('S2')] }).ok).toBe(true);
    const twice = problemsOf({ ...good(), scores: [shoot('S1'), shoot('S1')] });
    expect(twice.map(({ code }) => code)).toContain('duplicate-score');
  });
});

describe('a hostile document', () => {
  it.each(['__proto__', 'constructor', 'prototype'])('with a key %s is refused', (key) => {
    const text = JSON.stringify(good()).replace('"plot":"a"', `"${key}":{"polluted":1},"plot":"a"`);
    const read = readTrialText(text);
    expect(!read.ok && read.problems[0]?.code).toBe('forbidden-key');
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });

  it('with __proto__ for an id is refused', () => {
    expect(first({ ...good(), blocks: [{ id: '__proto__', name: 'x' }] }).code).toBe(
      'forbidden-id',
    );
  });

  it('nested 100,000 deep is refused in a sentence, not by a full stack', () => {
    let deep: unknown = 1;
    for (let i = 0; i < 100_000; i++) deep = [deep];
    expect(first({ ...good(), note: deep }).code).toBe('nested-too-deep');
    const loop: Record<string, unknown> = good();
    loop['self'] = loop;
    expect(first(loop).code).toBe('nested-too-deep');
  });
});

describe('migration', () => {
  const steps: readonly Migration[] = [
    {
      from: 1,
      up: ({ title, ...rest }) => ({ ...rest, name: title }),
      down: ({ name, ...rest }) => ({ ...rest, title: name }),
    },
    { from: 2, up: (d) => ({ ...d, tags: [] }), down: ({ version, name }) => ({ version, name }) },
  ];

  it('walks up step by step and back to where it was', () => {
    const v1 = { version: 1, title: 'x' };
    const v3 = migrateUp(v1, 1, 3, steps);
    expect(v3).toEqual({ version: 3, name: 'x', tags: [] });
    expect(migrateDown(v3!, 3, 1, steps)).toEqual(v1);
  });

  it('gives nothing where a step is missing or the way leads the other way', () => {
    expect(migrateUp({ version: 1 }, 1, 4, steps)).toBeUndefined();
    expect(migrateDown({ version: 5 }, 5, 1, steps)).toBeUndefined();
    expect(migrateUp({ version: 3 }, 3, 1, steps)).toBeUndefined();
    expect(migrateDown({ version: 1 }, 1, 3, steps)).toBeUndefined();
  });
});
