// Packages held against the Frictionless specifications (Data Package, Tabular Data Resource and
// Table Schema, version 1): by the standard's own JSON Schemas with a general schema validator, by
// reading every table with a general CSV library, and by the standard's own library.
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { readTrial, type Trial } from '@fairbed/trial';
import Ajv from 'ajv';
import draft4 from 'ajv/lib/refs/json-schema-draft-04.json';
import { strFromU8, unzipSync } from 'fflate';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { makeSeason } from '../gallery/makeseason';
import { fullTrial, photoBytes } from '../gallery/maketrial';
import dataPackage from '../oracle/frictionless/data-package.json';
import tableSchema from '../oracle/frictionless/table-schema.json';
import tabularDataResource from '../oracle/frictionless/tabular-data-resource.json';
import { trialToPackage } from './datapackage';

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
const photo = sha256(photoBytes);
const full = fullTrial(photo);
const season = makeSeason({ blocks: 2, treatments: 3, plants: 2, rounds: 3 });
const demo = JSON.parse(
  readFileSync(new URL('../../../data/demo/chard-leaf-spot.json', import.meta.url), 'utf8'),
) as Trial;
const entries = season.entries.map((e, i) =>
  i === 0 ? { ...e, who: '=Ana', value: { text: "a\r\n'b'", n: -5 } } : { ...e, value: -i },
);

const packages: readonly (readonly [string, Uint8Array])[] = [
  [
    'every table, a ledger, a photo here and one elsewhere',
    trialToPackage(full, { entries, photos: new Map([[photo, photoBytes]]) }),
  ],
  ['a season with its ledger', trialToPackage(season.trial, season)],
  ['a demonstration trial without a ledger', trialToPackage(demo)],
];

type Field = { readonly name: string; readonly type: string };
type Schema = {
  readonly fields: readonly Field[];
  readonly primaryKey?: readonly string[];
  readonly foreignKeys?: readonly {
    readonly fields: string;
    readonly reference: { readonly resource: string; readonly fields: string };
  }[];
};
type Resource = {
  readonly name: string;
  readonly path: string;
  readonly profile?: string;
  readonly schema?: Schema;
  readonly bytes?: number;
  readonly hash?: string;
};
type Descriptor = { readonly resources: readonly Resource[] };

const descriptorOf = (bytes: Uint8Array): Descriptor =>
  JSON.parse(strFromU8(unzipSync(bytes)['datapackage.json'])) as Descriptor;

it('the trial with every part is one that may be read', () => {
  const read = readTrial(full);
  expect(read.ok ? read.notes : read.problems).toEqual([]);
});

describe.each(packages)('by the schemas of the standard: %s', (_, bytes) => {
  const ajv = new Ajv({
    schemaId: 'auto',
    meta: false,
    allErrors: true,
    // A hint for forms, not a form of text.
    unknownFormats: ['textarea'],
  });
  ajv.addMetaSchema(draft4);
  const faults = (schema: object, json: unknown): unknown[] => {
    void ajv.validate(schema, json);
    return [...(ajv.errors ?? [])];
  };
  const descriptor = descriptorOf(bytes);

  it('the descriptor, each resource and each schema are well-formed', () => {
    expect(faults(dataPackage, descriptor)).toEqual([]);
    const tables = descriptor.resources.filter((r) => r.profile === 'tabular-data-resource');
    expect(tables.length).toBeGreaterThanOrEqual(13);
    for (const table of tables) {
      expect(faults(tabularDataResource, table)).toEqual([]);
      expect(faults(tableSchema, table.schema)).toEqual([]);
    }
  });

  it('and would not be with a name in capitals, no resources, or a key that leads nowhere', () => {
    expect(faults(dataPackage, { ...descriptor, name: 'Kale' })).not.toEqual([]);
    expect(faults(dataPackage, { name: 'kale' })).not.toEqual([]);
    expect(faults(tableSchema, { fields: [{ type: 'string' }] })).not.toEqual([]);
    expect(faults(tabularDataResource, { name: 'a', path: '/etc/x', schema: 3 })).not.toEqual([]);
  });
});

// Lexical forms of the default format of each type (Table Schema v1, "Types and Formats").
const forms: Readonly<Record<string, RegExp>> = {
  string: /[^]*/,
  integer: /^[+-]?\d+$/,
  number: /^[+-]?\d+(\.\d+)?([eE][+-]?\d+)?$/,
  boolean: /^(true|false)$/,
  date: /^\d{4}-\d{2}-\d{2}$/,
};

type Rows = readonly Readonly<Record<string, string>>[];

/** Everything in which a table and its schema differ. */
function differences(schema: Schema, csv: string, others: ReadonlyMap<string, Rows>): string[] {
  const [head, ...cells] = Papa.parse(csv, { skipEmptyLines: true }).data;
  const names = schema.fields.map((f) => f.name);
  if (head.join() !== names.join()) return [`headings ${head.join()}`];
  const rows = asRows(names, cells);
  const wrong = rows.flatMap((row, i) =>
    schema.fields
      .filter((f) => row[f.name] !== '' && !forms[f.type].test(row[f.name]))
      .map((f) => `row ${i + 2}, ${f.name}: ${row[f.name]} is no ${f.type}`),
  );
  const long = cells
    .filter((row) => row.length !== names.length)
    .map((row) => `cells ${row.join()}`);
  const keys = rows.map((row) => JSON.stringify((schema.primaryKey ?? []).map((k) => row[k])));
  const twice =
    schema.primaryKey && new Set(keys).size < keys.length ? ['a primary key stands twice'] : [];
  const astray = (schema.foreignKeys ?? []).flatMap(({ fields, reference }) => {
    const there = new Set(others.get(reference.resource)?.map((row) => row[reference.fields]));
    return rows
      .filter((row) => row[fields] !== '' && !there.has(row[fields]))
      .map((row) => `${fields} ${row[fields]} leads nowhere`);
  });
  return [...wrong, ...long, ...twice, ...astray];
}

const asRows = (names: readonly string[], cells: readonly (readonly string[])[]): Rows =>
  cells.map((row) => Object.fromEntries(names.map((name, i) => [name, row[i] ?? ''])));

describe.each(packages)('by reading every part: %s', (_, bytes) => {
  const files = unzipSync(bytes);
  const { resources } = descriptorOf(bytes);
  const tables = resources.flatMap((r) => (r.schema ? [{ ...r, schema: r.schema }] : []));
  const others = new Map(
    tables.map(({ name, path, schema }) => {
      const [, ...cells] = Papa.parse(strFromU8(files[path]), { skipEmptyLines: true }).data;
      return [
        name,
        asRows(
          schema.fields.map((f) => f.name),
          cells,
        ),
      ] as const;
    }),
  );

  it('every part is there, once, and has the size and hash it should', () => {
    expect(new Set(resources.map((r) => r.name)).size).toBe(resources.length);
    for (const { path, bytes: size, hash } of resources) {
      expect(Object.keys(files)).toContain(path);
      if (size !== undefined) expect(files[path].length).toBe(size);
      if (hash !== undefined) expect(hash).toBe(`sha256:${sha256(files[path])}`);
    }
  });

  it('headings, types, primary and foreign keys of every table hold', () => {
    for (const { path, schema } of tables) {
      expect([path, differences(schema, strFromU8(files[path]), others)]).toEqual([path, []]);
    }
  });

  it('and a wrong cell, heading or key would be seen', () => {
    const plots = tables.find((t) => t.name === 'plots') as (typeof tables)[number];
    const csv = strFromU8(files['plots.csv']);
    const seen = (text: string): number => differences(plots.schema, text, others).length;
    expect(seen(csv.replace('id,', 'Id,'))).toBe(1);
    expect(seen(`${csv}${csv.split('\r\n')[1]}\r\n`)).toBeGreaterThan(0);
    expect(seen(`${csv}new,,nobody,,,,,,many,,,,,\r\n`)).toBe(2);
  });
});

// The library of those who wrote the standard (npm: datapackage 1.1.10).
type Library = {
  readonly Package: {
    readonly load: (path: string) => Promise<{
      readonly valid: boolean;
      readonly errors: readonly Error[];
      readonly resources: readonly {
        readonly name: string;
        readonly tabular: boolean;
        readonly read: (options: object) => Promise<readonly unknown[]>;
      }[];
    }>;
  };
};

// It has no types of its own.
const theirs = createRequire(import.meta.url)('datapackage') as Library;

/** Faults that the library finds in an unpacked package, and how many rows it read. */
async function judged(files: Readonly<Record<string, Uint8Array>>) {
  const folder = mkdtempSync(join(tmpdir(), 'fairbed-package-'));
  try {
    for (const [path, content] of Object.entries(files)) {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      writeFileSync(join(folder, path), content);
    }
    const loaded = await theirs.Package.load(join(folder, 'datapackage.json'));
    const faults = loaded.errors.map((e) => e.message);
    const rows: Record<string, number> = {};
    for (const resource of loaded.resources.filter((r) => r.tabular)) {
      try {
        rows[resource.name] = (await resource.read({ keyed: true, relations: true })).length;
      } catch (error) {
        faults.push(`${resource.name}: ${(error as Error).message}`);
      }
    }
    return { valid: loaded.valid, faults, rows };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

describe('by the library of the standard', () => {
  it.each(packages)('%s: valid, every cell, key and relation', async (_, bytes) => {
    const { valid, faults, rows } = await judged(unzipSync(bytes));
    expect(faults).toEqual([]);
    expect(valid).toBe(true);
    expect(rows['plots']).toBeGreaterThan(0);
    const carries = 'entries.csv' in unzipSync(bytes);
    expect(rows['entries']).toBe(carries ? entries.length : undefined);
  });

  it('finds a plot whose treatment is nowhere, and a figure that is none', async () => {
    const files = unzipSync(packages[0][1]);
    const edited = (path: string, from: string, to: string) =>
      judged({ ...files, [path]: Buffer.from(strFromU8(files[path]).replace(from, to)) });
    expect((await edited('plots.csv', 't2', 't9')).faults).toHaveLength(1);
    expect((await edited('scores.csv', '12.5', 'half')).faults).toHaveLength(1);
  });
});
