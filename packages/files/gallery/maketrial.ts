import type { Trial } from '@fairbed/trial';

/** The SHA-256 of a photo that the package of {@link fullTrial} may carry. */
export const photoBytes = Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3, 4]);

/**
 * A small trial that has something in every part of a trial document, so that its package has
 * every table, with texts and figures that a table could trip over. `photo` is the SHA-256 of
 * {@link photoBytes}.
 */
export const fullTrial = (photo: string): Trial =>
  ({
    format: 'fairbed-trial',
    version: 1,
    id: 'Every part: 1/2',
    title: 'Every part, "quoted", and a comma',
    question: 'Does it all\nfit?',
    invented: true,
    note: '=1+1',
    crop: { name: 'Chard', scientificName: 'Beta vulgaris', profile: 'chard' },
    diseases: [
      { id: 'spot', name: 'Leaf spot', scientificName: 'Cercospora beticola' },
      { id: 'rust', name: 'Rust' },
    ],
    garden: { name: 'North garden', place: 'by the wall' },
    beds: [
      {
        id: 'b',
        name: 'Long bed',
        width: 1.2,
        height: 10,
        x: -3.5,
        y: 0,
        blocked: [{ x: 0, y: 4, width: 1.2, height: 0.5, why: 'path' }],
      },
    ],
    treatments: [
      { id: '-1', name: '=cmd', kind: 'untreated' },
      {
        id: 't2',
        name: "'quoted",
        kind: 'product',
        activeIngredient: 'potassium bicarbonate',
        rate: { amount: 1e21, unit: 'g/L' },
        everyDays: 7,
        preHarvestDays: 1.5,
        reentryHours: 4,
      },
      {
        id: 't3',
        name: 'Wide; 40 cm',
        kind: 'practice',
        practice: { what: 'spacing', value: '40 cm' },
      },
    ],
    control: '-1',
    design: { kind: 'randomised-blocks', seed: 7, randomised: true },
    blocks: [{ id: 'k', name: 'K', note: ' leading and trailing ' }],
    plots: [
      {
        id: '1',
        code: '007',
        treatment: '-1',
        block: 'k',
        place: { bed: 'b', x: 0, y: 0.25, width: 1, height: 1 },
      },
      { id: '2', treatment: 't2', row: '1', column: '2', wholePlot: 'w' },
      {
        id: '3',
        treatment: 't3',
        block: 'k',
        lost: { day: '2026-06-09', why: 'dug up\nby a fox' },
      },
    ],
    plants: [
      { id: '1', plot: '1', guard: true },
      { id: '1', plot: '2', lost: { day: '2026-06-08', why: 'broken' }, note: '@home' },
    ],
    rounds: [
      { id: 'r1', day: '2026-06-01', stripping: true, blind: true, done: true },
      { id: 'r2', day: '2026-06-08', name: 'second', note: 'rain' },
    ],
    scores: [
      {
        plot: '1',
        plant: '1',
        round: 'r1',
        standing: 9,
        diseased: 2,
        stripped: 2,
        strippedDiseased: 1,
        severity: 12.5,
        injury: 0,
        vigour: 100,
        stage: 14,
        by: 'Ana',
      },
      {
        plot: '2',
        round: 'r2',
        standing: 8,
        lost: [
          { leaves: 1, why: 'storm' },
          { leaves: 2, why: 'pest' },
        ],
        value: -1e-7,
        baseline: 3,
        note: 'a "note", with\r\nlines',
      },
      { plot: '1', plant: '1', round: 'r1', disease: 'rust', grade: 3 },
    ],
    gradeScale: { classes: [0, 1, 3, 9], healthy: 0 },
    valueMeasure: { name: 'yield', unit: 'kg', better: 'higher' },
    times: [{ plot: '1', event: 'clean', days: 3.5, happened: false }],
    sprays: [
      {
        day: '2026-06-02',
        time: '07:30',
        treatment: 't2',
        plots: ['2'],
        rate: { amount: 5, unit: 'g/L' },
        reentryHours: 4,
        by: 'Jo',
        note: 'still air',
      },
    ],
    events: [{ day: '2026-06-03', kind: 'hail', plots: ['1', '2'], note: '+ wind' }],
    harvests: [{ day: '2026-06-09', plot: '2', plant: '1', grams: 120.5, pieces: 3 }],
    plan: {
      outcome: 'incidence',
      smallestDifferencePercent: 30,
      rounds: { count: 2, everyDays: 7, firstDay: '2026-06-01' },
      draws: [
        { number: 1, seed: 4294967295, day: '2026-05-20' },
        { number: 2, seed: 7, day: '2026-05-21', why: 'a corner was wet' },
      ],
      sealed: { hash: 'ab'.repeat(32), day: '2026-05-22', draw: 2 },
    },
    reveal: { day: '2026-06-10' },
    departures: [{ code: 'redraw', day: '2026-05-23', what: 'The layout was drawn again.' }],
    skipped: [{ plot: '3', round: 'r2', why: 'lost' }],
    photos: [
      {
        hash: photo,
        round: 'r1',
        plot: '1',
        plant: '1',
        day: '2026-06-01',
        time: '08:15',
        width: 1600,
        height: 1200,
        bytes: photoBytes.length,
        type: 'image/jpeg',
      },
      {
        hash: '0'.repeat(64),
        day: '2026-06-01',
        width: 1600,
        height: 1200,
        bytes: 1234,
        type: 'image/webp',
      },
    ],
    notes: [{ id: 'n1', text: '- slugs', plot: '2', round: 'r1', day: '2026-06-01' }],
  }) as unknown as Trial;
