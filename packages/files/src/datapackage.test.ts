import type { Trial } from '@fairbed/trial';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvCell } from './csvout';
import { trialToPackage } from './datapackage';
import { isDataPackage, packageToTrial } from './openpackage';

const text = fc.string({ unit: 'grapheme', maxLength: 20 });
const day = fc.integer({ min: 1, max: 28 }).map((d) => `2026-06-${String(d).padStart(2, '0')}`);
const maybe = <T>(key: string, value: fc.Arbitrary<T>) =>
  fc.option(value, { nil: undefined }).map((v) => (v === undefined ? {} : { [key]: v }));
const amount = fc
  .double({ noNaN: true, noDefaultInfinity: true })
  .map((n) => (Object.is(n, -0) ? 0 : n));
const merged = <T extends object>(base: fc.Arbitrary<T>, ...more: fc.Arbitrary<object>[]) =>
  fc.tuple(base, ...more).map((parts) => Object.assign({}, ...parts) as T);

const score = merged(
  fc.record({ plot: fc.constantFrom('p1', 'p2'), round: fc.constant('r1') }),
  maybe('standing', fc.nat(40)),
  maybe(
    'severity',
    fc.double({ min: 0, max: 100, noNaN: true }).map((n) => (Object.is(n, -0) ? 0 : n)),
  ),
  maybe('value', amount),
  maybe('note', text),
  maybe(
    'lost',
    fc.array(fc.record({ leaves: fc.nat(9), why: fc.constantFrom('storm', 'pest') }), {
      maxLength: 2,
    }),
  ),
);

const trials: fc.Arbitrary<Trial> = merged(
  fc.record({
    title: text,
    score,
    note: text,
    spray: fc.record({
      day,
      treatment: fc.constant('t1'),
      rate: fc.record({ amount, unit: text }),
    }),
    event: fc.record({
      day,
      kind: fc.constantFrom('storm', 'hail'),
      plots: fc.constant(['p1']),
      note: text,
    }),
  }),
).map(
  ({ title, score: s, note, spray, event }) =>
    ({
      format: 'fairbed-trial',
      version: 1,
      id: 'Trial of kale: 1',
      title,
      note,
      diseases: [{ id: 'd', name: 'white rust' }],
      beds: [{ id: 'b', name: note, width: 1.2, height: 10 }],
      treatments: [
        { id: 't1', name: '=1+1', kind: 'untreated' },
        { id: 't2', name: note, kind: 'product', rate: { amount: 2.5, unit: 'g/L' } },
      ],
      control: 't1',
      design: { kind: 'completely-randomised' },
      blocks: [{ id: 'k', name: 'K' }],
      plots: [
        {
          id: 'p1',
          treatment: 't1',
          block: 'k',
          place: { bed: 'b', x: 0, y: 0, width: 1, height: 1 },
        },
        { id: 'p2', treatment: 't2', lost: { why: title, day: spray.day } },
      ],
      plants: [{ id: 'x', plot: 'p1', guard: true }],
      rounds: [{ id: 'r1', day: event.day }],
      scores: [s],
      times: [{ plot: 'p1', event: 'clean', days: 3.5, happened: false }],
      sprays: [spray],
      events: [event],
      valueMeasure: { name: 'yield', better: 'higher' },
      harvests: [{ day: event.day, plot: 'p2', grams: 12.5 }],
    }) as unknown as Trial,
);

describe('data packages', () => {
  it('come back whole', () => {
    fc.assert(
      fc.property(trials, (trial) => {
        const bytes = trialToPackage(trial, { extras: { 'README.md': 'made by a test' } });
        expect(isDataPackage(bytes)).toBe(true);
        const back = packageToTrial(bytes);
        expect(back.problems).toEqual([]);
        expect(back.trial).toEqual(trial);
      }),
      { numRuns: 100, seed: 5 },
    );
  });

  it('are the same bytes for the same trial, and described table by table', () => {
    const [trial] = fc.sample(trials, { numRuns: 1, seed: 6 });
    expect(trialToPackage(trial)).toEqual(trialToPackage(structuredClone(trial)));
    const files = unzipSync(trialToPackage(trial));
    const descriptor = JSON.parse(strFromU8(files['datapackage.json'])) as {
      name: string;
      resources: { name: string; path: string; schema?: { fields: { name: string }[] } }[];
    };
    expect(descriptor.name).toMatch(/^[a-z0-9._-]+$/);
    for (const resource of descriptor.resources) {
      const head = strFromU8(files[resource.path]).split('\r\n')[0];
      if (resource.schema) expect(head).toBe(resource.schema.fields.map((f) => f.name).join(','));
    }
    expect(descriptor.resources.map((r) => r.name)).toEqual([
      'treatments',
      'blocks',
      'beds',
      'plots',
      'plants',
      'diseases',
      'rounds',
      'scores',
      'losses',
      'times',
      'sprays',
      'events',
      'harvests',
      'trial',
    ]);
    // A treatment called =1+1 is no formula in the spreadsheet that opens the table.
    expect(strFromU8(files['treatments.csv'])).toContain("t1,'=1+1,untreated");
  });

  it('say which table was changed by hand', () => {
    const [trial] = fc.sample(trials, { numRuns: 1, seed: 7 });
    const files = unzipSync(trialToPackage(trial));
    const edited = zipSync({ ...files, 'plots.csv': strToU8('id,treatment\r\n') });
    expect(packageToTrial(edited).problems.map((p) => [p.code, p.kind])).toEqual([
      ['package-edited', 'note'],
    ]);
  });

  it('are refused when broken or hostile', () => {
    const codes = (bytes: Uint8Array): string[] =>
      packageToTrial(bytes).problems.map((p) => p.code);
    const withTrial = (json: string): Uint8Array =>
      zipSync({
        'datapackage.json': strToU8('{"resources":[{"name":"trial","path":"trial.json"}]}'),
        'trial.json': strToU8(json),
      });
    expect(codes(strToU8('a,b\n1,2'))).toEqual(['package-no-trial']);
    expect(codes(zipSync({ 'inner.zip': zipSync({ 'trial.json': strToU8('{}') }) }))).toEqual([
      'package-no-trial',
    ]);
    expect(codes(zipSync({ '../trial.json': strToU8('{}') }))).toEqual(['zip-path']);
    expect(codes(withTrial('{"format":'))).toEqual(['not-json']);
    expect(codes(withTrial('['.repeat(1e6))).length).toBe(1);
    const keyed = packageToTrial(
      withTrial('{"format":"fairbed-trial","version":1,"__proto__":{"bad":1}}'),
    );
    expect(keyed.trial).toBeUndefined();
    expect(Object.prototype).not.toHaveProperty('bad');
    expect(codes(zipSync({ 'trial.json': new Uint8Array(200 * 1024 * 1024) }))).toEqual([
      'package-bomb',
    ]);
  });
});

describe('cells of CSV', () => {
  it('are quoted where they must be and never begin as a formula does', () => {
    expect(
      ['=1+1', '+1', '-1', '@x', '\tx', 'a,b', 'a"b', 'plain', -1.5, true, undefined].map(csvCell),
    ).toEqual([
      "'=1+1",
      "'+1",
      "'-1",
      "'@x",
      "'\tx",
      '"a,b"',
      '"a""b"',
      'plain',
      '-1.5',
      'true',
      '',
    ]);
  });
});
