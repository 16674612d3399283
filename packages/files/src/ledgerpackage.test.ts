import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Trial } from '@fairbed/trial';
import { strFromU8, strToU8, unzipSync, type Zippable, zipSync } from 'fflate';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeSeason, wholeSeason } from '../gallery/makeseason';
import { fullTrial } from '../gallery/maketrial';
import { trialToPackage } from './datapackage';
import type { LedgerEntry } from './ledgertable';
import { isDataPackage, packageToTrial, readPackage } from './openpackage';
import type { Photos } from './photostable';

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
const read = (bytes: Uint8Array) => packageToTrial(bytes, 'kale.zip', sha256);

const starts = {
  jpg: [0xff, 0xd8, 0xff],
  png: [0x89, 0x50, 0x4e, 0x47],
  webp: [0x52, 0x49, 0x46, 0x46],
};
const photo = fc
  .tuple(fc.constantFrom(...Object.values(starts), [1]), fc.uint8Array({ maxLength: 60 }))
  .map(([start, rest]) => Uint8Array.from([...start, ...rest]));
const photoMap = (all: readonly Uint8Array[]): Photos => new Map(all.map((b) => [sha256(b), b]));

const text = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 12 }),
  fc.string({ unit: 'binary', maxLength: 12 }),
  fc.constantFrom(
    '',
    ' ',
    "'",
    "''=1",
    '=1+1',
    '-5',
    '+',
    '@x',
    '\t',
    '\r',
    '\n',
    '\r\n',
    '"',
    '""',
    ',',
    "'\\",
    '\'\\"x"',
    '\ufeff',
    '\u0000',
    '\ud83d',
    'a\udc00b',
    '🥬\ud83e',
    '﷽',
    'null',
  ),
);
const number = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, -0, 1e21, -1e21, 1e-7, 5e-324, 1.7976931348623157e308, 0.1, -5, 2 ** 53),
);
const forbidden = ['__proto__', 'constructor', 'prototype'];
const value = fc.letrec((tie) => ({
  any: fc.oneof(
    { maxDepth: 4 },
    fc.constant(null),
    fc.boolean(),
    number,
    text,
    fc.array(tie('any'), { maxLength: 3 }),
    fc.dictionary(
      text.filter((key) => !forbidden.includes(key)),
      tie('any'),
      { maxKeys: 3, noNullPrototype: true },
    ),
  ),
})).any;

const entry = fc
  .record({
    n: fc.integer({ min: 1, max: 1e6 }),
    writer: fc.constantFrom('a', '-b', '_', 'Zz9'),
    ms: fc.integer({ min: 0, max: 3e12 }),
    at: fc.option(
      fc.integer({ min: -8e12, max: 8e12 }).filter((n) => !Object.is(n, -0)),
      { nil: undefined },
    ),
    who: text,
    kind: text.filter((t) => t !== ''),
    thing: text.filter((t) => t !== ''),
    value,
    replaces: fc.array(fc.constantFrom('a.1', '-b.zz', '_.1k'), { maxLength: 3 }),
  })
  .map(
    ({ n, writer, ms, at, ...rest }): LedgerEntry => ({
      id: `${writer}.${n.toString(36)}`,
      clock: `${ms.toString(36).padStart(9, '0')}0000-${writer}`,
      ...(at === undefined ? {} : { at }),
      ...rest,
    }),
  );
const ledger = fc.uniqueArray(entry, { selector: (e) => e.id, maxLength: 12 });
const inOrder = (entries: readonly LedgerEntry[]): LedgerEntry[] => {
  const key = (e: LedgerEntry) => `${e.clock}\0${e.id}`;
  return [...entries].sort((a, b) => (key(a) < key(b) ? -1 : 1));
};

const small = makeSeason({ blocks: 2, treatments: 2, plants: 1, rounds: 2 });
const pictures = photoMap([
  Uint8Array.from([...starts.jpg, 1, 2, 3]),
  Uint8Array.from([...starts.webp, 9, 9, 9, 9, 9]),
]);
const whole = trialToPackage(small.trial, { entries: small.entries, photos: pictures });

describe('a ledger and photos in a package', () => {
  it('come back equal, to the bit', () => {
    fc.assert(
      fc.property(ledger, fc.array(photo, { maxLength: 4 }), (entries, photos) => {
        const kept = photoMap(photos);
        const back = read(trialToPackage(small.trial, { entries, photos: kept }));
        expect(back.problems).toEqual([]);
        expect(back.trial).toEqual(small.trial);
        // toStrictEqual tells -0 from 0.
        expect(back.entries).toStrictEqual(inOrder(entries));
        expect(back.photos).toEqual(kept);
      }),
      { numRuns: 400, seed: 3 },
    );
  });

  it('give the same bytes for the same content in any order', () => {
    fc.assert(
      fc.property(ledger, fc.array(photo, { maxLength: 4 }), (entries, photos) => {
        const kept = photoMap(photos);
        const one = trialToPackage(small.trial, { entries, photos: kept });
        const turned = new Map([...kept].reverse());
        const other = trialToPackage(small.trial, {
          entries: [...entries].reverse(),
          photos: turned,
        });
        expect(other).toEqual(one);
      }),
      { numRuns: 50, seed: 4 },
    );
  });

  it('are read with a SHA-256 that takes its time as well', async () => {
    const slow = (bytes: Uint8Array) => Promise.resolve(sha256(bytes).toUpperCase());
    expect(await readPackage(whole, 'kale.zip', slow)).toEqual(read(whole));
  });

  it('do not give out photos that were not held against their hash', () => {
    expect(packageToTrial(whole, 'kale.zip')).toEqual({
      trial: small.trial,
      entries: small.entries,
      problems: [],
    });
  });

  it('stand in the zip as files of their own, photos stored as they are', () => {
    const files = unzipSync(whole);
    const [first] = [...pictures.keys()];
    const [e] = small.entries;
    expect(files[`photos/${first}.jpg`]).toEqual(pictures.get(first));
    expect(strFromU8(files['entries.csv']).split('\r\n').slice(0, 2)).toEqual([
      'id,clock,at,who,kind,thing,value,replaces',
      `k3x9q2ab.1,${e.clock},,Ana,score,r1/101/1//standing,${String(e.value)},[]`,
    ]);
    const rows = strFromU8(files['photos.csv']).trimEnd().split('\r\n');
    expect(rows[0]).toBe('hash,path,bytes,width,height,day,time,round,plot,plant');
    expect(rows).toHaveLength(3);
    expect(strFromU8(files['README.md'])).toContain('the ledger, 64 entries');
  });

  it('warn a scorer off the tables until the reveal', () => {
    const readme = (trial: Trial): string =>
      strFromU8(unzipSync(trialToPackage(trial))['README.md']);
    const revealed = fullTrial(firstPhoto);
    expect(readme(revealed)).not.toContain('scored blind');
    expect(readme({ ...revealed, reveal: undefined })).toContain('do not open the tables');
  });

  it('hold a season of 24,000 entries in at most 1 MB', () => {
    const season = makeSeason(wholeSeason);
    expect(season.entries).toHaveLength(24_000);
    const bytes = trialToPackage(season.trial, season);
    expect(bytes.length).toBeLessThanOrEqual(1_000_000);
    expect(read(bytes).entries).toEqual(season.entries);
  });
});

describe('a package from before the ledger', () => {
  it('opens as it did, without being called edited', () => {
    const old = readFileSync(new URL('../oracle/package-before-ledger.zip', import.meta.url));
    const { trial, problems, ...rest } = read(old);
    expect(problems).toEqual([]);
    expect(trial?.scores).toHaveLength(2);
    expect(rest).toEqual({ photos: new Map() });
  });
});

/** The package with some of its files changed, packed again by a general zip tool. */
function repacked(change: (files: Record<string, Uint8Array>) => Zippable): Uint8Array {
  return zipSync(change(unzipSync(whole)));
}
const withText = (path: string, edit: (text: string) => string): Uint8Array =>
  repacked((files) => ({ ...files, [path]: strToU8(edit(strFromU8(files[path]))) }));

/** Refused whole: faults and nothing else. */
function refusal(
  bytes: Uint8Array,
): (readonly [code: string, file: string | undefined, row: number | undefined])[] {
  const { problems, ...rest } = read(bytes);
  expect(rest).toEqual({});
  expect(problems.length).toBeGreaterThan(0);
  for (const p of problems) {
    expect(p.kind).toBe('fault');
    expect(p.do).not.toBe('');
  }
  return problems.map((p) => [p.code, p.file, p.row]);
}
const here = 'kale.zip';
const there = 'kale.zip, entries.csv';
const [firstPhoto] = [...pictures.keys()].sort();
const firstPath = Object.keys(unzipSync(whole)).find((n) => n.includes(firstPhoto)) as string;

describe('a damaged package', () => {
  it('is refused whole when its end is missing, wherever it was cut', () => {
    for (let length = 46; length < whole.length; length += 97) {
      const cut = whole.subarray(0, length);
      expect(isDataPackage(cut)).toBe(true);
      expect(refusal(cut)).toEqual([['package-cut', here, undefined]]);
    }
  });

  it('is refused whole, or loses nothing, when any one byte is flipped', () => {
    const sound = read(whole);
    let refused = 0;
    // Every 19th byte, and all of the end of the table of contents, a different bit each time.
    const places = [...whole.keys()].filter((i) => i % 19 === 0 || i > whole.length - 800);
    for (const at of places) {
      const bent = whole.slice();
      bent[at] = bent[at] ^ (1 << (at % 8));
      const { problems, ...rest } = read(bent);
      if (problems.some((p) => p.kind === 'fault')) {
        refused++;
        expect(rest).toEqual({});
      } else expect({ problems, ...rest }).toEqual(sound);
    }
    expect(refused).toBeGreaterThan(places.length / 2);
  });

  it('names the part of which a byte was flipped', () => {
    const name = strToU8('entries.csv');
    const at = whole.findIndex((_, i) => name.every((b, k) => whole[i + k] === b));
    const bent = whole.slice();
    bent[at + name.length + 40] ^= 16;
    const { problems } = read(bent);
    expect(problems.map((p) => [p.code, p.what])).toEqual([
      ['package-part-broken', '"entries.csv" in this package is damaged.'],
    ]);
  });

  it('is refused when a row of the ledger is cut, lost, doubled or changed', () => {
    const rows = (edit: (lines: string[]) => string[]): Uint8Array =>
      withText('entries.csv', (t) => edit(t.split('\r\n')).join('\r\n'));
    const row = (edit: (line: string) => string): Uint8Array =>
      rows((lines) => lines.map((line, i) => (i === 4 ? edit(line) : line)));
    expect(refusal(withText('entries.csv', (t) => t.slice(0, -20)))).toEqual([
      ['entries-cut', there, 65],
    ]);
    expect(refusal(withText('entries.csv', (t) => `${t.slice(0, -4)}"`))).toEqual([
      ['entries-cut', there, 65],
    ]);
    expect(refusal(row((line) => line.split(',').slice(0, 5).join()))).toEqual([
      ['entries-cells', there, 5],
    ]);
    expect(refusal(row((line) => line.replace('[]', '[')))).toEqual([['entries-cell', there, 5]]);
    expect(refusal(row((line) => line.replace(',0mo', ',0MO')))).toEqual([
      ['entries-cell', there, 5],
    ]);
    expect(refusal(row((line) => line.replace(/,(\d+),\[\]$/, ',"{""__proto__"":1}",[]')))).toEqual(
      [['entries-cell', there, 5]],
    );
    expect(
      refusal(
        row((line) => line.replace(/,(\d+),\[\]$/, `,${'['.repeat(5000)}${']'.repeat(5000)},[]`)),
      ),
    ).toEqual([['entries-cell', there, 5]]);
    expect(refusal(rows((lines) => lines.toSpliced(4, 0, lines[2])))).toEqual([
      ['entries-twice', there, 5],
    ]);
    expect(refusal(rows((lines) => lines.toSpliced(4, 1)))).toEqual([
      ['entries-changed', there, undefined],
    ]);
    expect(refusal(row((line) => line.replace('Ana', 'Bea')))).toEqual([
      ['entries-changed', there, undefined],
    ]);
    expect(refusal(rows((lines) => ['id,clock', ...lines.slice(1)]))).toEqual([
      ['entries-headings', there, 1],
    ]);
    expect(
      refusal(repacked((files) => ({ ...files, 'entries.csv': Uint8Array.of(0xff, 0xfe) }))),
    ).toEqual([['entries-not-text', there, undefined]]);
  });

  it('is refused when a part is missing or the list of parts is', () => {
    const without = (path: string): Uint8Array =>
      repacked((files) => Object.fromEntries(Object.entries(files).filter(([n]) => n !== path)));
    for (const path of ['entries.csv', 'photos.csv', 'plots.csv', firstPath]) {
      expect(refusal(without(path))).toEqual([['package-part-missing', here, undefined]]);
    }
    expect(refusal(without('datapackage.json'))).toEqual([
      ['package-no-descriptor', here, undefined],
    ]);
    for (const broken of ['', '{', '[]', '{}', '{"resources":[]}', '{"resources":[{"path":1}]}']) {
      expect(refusal(withText('datapackage.json', () => broken))).toEqual([
        ['package-descriptor', here, undefined],
      ]);
    }
  });

  it('is refused when a photo is not the one that its name says', () => {
    const other = repacked((files) => ({
      ...files,
      [firstPath]: Uint8Array.from([...files[firstPath], 0]),
    }));
    expect(refusal(other)).toEqual([['photo-changed', here, undefined]]);
    const renamed = withText('datapackage.json', (t) => t.replace(firstPath, 'photos/leaf.jpg'));
    expect(refusal(repackedWith(renamed, 'photos/leaf.jpg'))).toEqual([
      ['photo-name', here, undefined],
    ]);
  });

  it('is refused when a path climbs out of it', () => {
    expect(refusal(repacked((files) => ({ ...files, '../x.csv': strToU8('x') })))).toEqual([
      ['zip-path', here, undefined],
    ]);
    for (const path of [
      '../plots.csv',
      '/etc/hosts',
      'a/../../b',
      'https://example.org/plots.csv',
      'C:/x',
      'a\\b',
    ]) {
      const bent = withText('datapackage.json', (t) =>
        t.replace('"plots.csv"', JSON.stringify(path)),
      );
      expect(refusal(bent)).toEqual([['package-part-outside', here, undefined]]);
    }
  });
});

const repackedWith = (bytes: Uint8Array, path: string): Uint8Array =>
  zipSync({ ...unzipSync(bytes), [path]: strToU8('x') });

describe('a package that was handled', () => {
  it('opens when it was packed again inside a folder, with what a file manager adds', () => {
    const inFolder = repacked((files) => ({
      ...Object.fromEntries(Object.entries(files).map(([n, b]) => [`kale 2026/${n}`, b])),
      '__MACOSX/datapackage.json': strToU8('x'),
      'kale 2026/photos/Thumbs.db': strToU8('x'),
    }));
    expect(isDataPackage(inFolder)).toBe(true);
    expect(read(inFolder)).toEqual(read(whole));
  });

  it('opens with a note where a table was edited, and keeps the ledger', () => {
    const { problems, ...rest } = read(withText('scores.csv', (t) => t.replace('r1', 'r2')));
    expect(problems.map((p) => [p.kind, p.code])).toEqual([['note', 'package-edited']]);
    expect(rest).toEqual({ trial: small.trial, entries: small.entries, photos: pictures });
  });
});

describe('a seal', () => {
  const sealed = (hash: string): LedgerEntry => ({
    id: 'sealer0001.1',
    clock: '0mo0000000000-sealer0001',
    who: 'Ana',
    kind: 'seal',
    thing: 'seal',
    value: { hash, day: '2026-05-01', plan: { outcome: 'incidence-last', control: 'U' } },
    replaces: [],
  });
  const packed = (hash: string): Uint8Array =>
    trialToPackage(fullTrial(sha256(strToU8('x'))), { entries: [sealed(hash)] });
  // Keys in order, no spaces (RFC 8785).
  const hash = sha256(strToU8('{"control":"U","outcome":"incidence-last"}'));

  it('whose hash belongs to its plan is taken as it is', () => {
    expect(read(packed(hash)).problems.map(({ code }) => code)).not.toContain('seal-differs');
  });

  it('whose hash is another is asked about, and the rest is taken', async () => {
    const told = read(packed('0'.repeat(64)));
    expect(told.entries).toHaveLength(1);
    expect(told.problems).toContainEqual(
      expect.objectContaining({ kind: 'question', code: 'seal-differs' }),
    );
    const slowly = await readPackage(packed('0'.repeat(64)), 'kale.zip', (bytes) =>
      Promise.resolve(sha256(bytes)),
    );
    expect(slowly.problems).toEqual(told.problems);
  });
});
