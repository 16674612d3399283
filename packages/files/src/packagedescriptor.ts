import type { Trial } from '@fairbed/trial';
import { ledgerFields } from './ledgertable';
import type { PackageTable } from './packagetable';
import { type Photos, photoPath, photoType } from './photostable';

/** entries.csv as the descriptor speaks of it: how many bytes and rows, and their CRC-32. */
export type LedgerSize = { readonly bytes: number; readonly rows: number; readonly crc32: string };

type Described = {
  readonly trial: Trial;
  readonly tables: readonly PackageTable[];
  readonly ledger?: LedgerSize;
  readonly photos: Photos;
};

/**
 * datapackage.json (Frictionless Data Package v1): a table schema for each CSV table, and every
 * photo as a resource with its size and SHA-256. `rows` and `crc32` at the ledger are our own.
 */
export function descriptor({ trial, tables, ledger, photos }: Described): unknown {
  return {
    profile: 'data-package',
    name: packageName(trial.id),
    title: trial.title,
    ...(trial.question === undefined ? {} : { description: trial.question }),
    ...(trial.invented === true ? { keywords: ['invented'] } : {}),
    resources: [
      ...tables.map((t) => ({ ...tableResource(t.name, t.about), schema: schemaOf(t) })),
      ...(ledger === undefined ? [] : [ledgerResource(ledger)]),
      {
        name: 'trial',
        path: 'trial.json',
        description: 'The whole trial, fairbed-trial version 1; the tables are copies of its parts',
        format: 'json',
        mediatype: 'application/json',
      },
      ...[...photos].map(([hash, bytes]) => ({
        name: `photo-${hash}`,
        path: photoPath(hash, bytes),
        mediatype: photoType(bytes),
        bytes: bytes.length,
        hash: `sha256:${hash}`,
      })),
    ],
  };
}

const tableResource = (name: string, about: string) => ({
  profile: 'tabular-data-resource',
  name,
  path: `${name}.csv`,
  description: about,
  format: 'csv',
  mediatype: 'text/csv',
  encoding: 'utf-8',
});

const ledgerResource = (ledger: LedgerSize): unknown => ({
  ...tableResource('entries', 'The ledger: every entry ever made, none changed; do not edit'),
  ...ledger,
  schema: {
    fields: ledgerFields.map(({ name, type, ...more }) => ({
      name,
      type,
      ...('about' in more ? { description: more.about } : {}),
    })),
    missingValues: [''],
    primaryKey: ['id'],
  },
});

function schemaOf(t: PackageTable): unknown {
  return {
    fields: t.fields.map(({ name, type, about }) => ({
      name,
      type,
      ...(about === undefined ? {} : { description: about }),
    })),
    missingValues: [''],
    ...(t.primaryKey === undefined ? {} : { primaryKey: t.primaryKey }),
    ...(t.foreignKeys === undefined
      ? {}
      : {
          foreignKeys: t.foreignKeys.map((k) => ({
            fields: k.field,
            reference: { resource: k.table, fields: 'id' },
          })),
        }),
  };
}

/** The standard allows lower-case letters, digits, dots, dashes and underscores in a name. */
const packageName = (id: string): string =>
  id
    .toLowerCase()
    .replace(/[^a-z0-9._-]+/g, '-')
    .replace(/^-+|-+$/g, '') || 'trial';

/** A resource as far as reading a package needs it; what is not of the right type is left out. */
export type Resource = {
  readonly path: string;
  readonly fields?: readonly string[];
  readonly ledger?: LedgerSize;
};

/** The resources of a datapackage.json's text; undefined where it is no descriptor. */
export function readDescriptor(text: string): readonly Resource[] | undefined {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return undefined;
  }
  const { resources } = asObject(json);
  if (!Array.isArray(resources) || resources.length === 0) return undefined;
  const read = resources.map(readResource);
  return read.every((r) => r !== undefined) ? read : undefined;
}

const asObject = (json: unknown): Readonly<Record<string, unknown>> =>
  typeof json === 'object' && json !== null ? (json as Record<string, unknown>) : {};

function readResource(json: unknown): Resource | undefined {
  const { path, schema, bytes, rows, crc32 } = asObject(json);
  if (typeof path !== 'string' || path === '') return undefined;
  const { fields } = asObject(schema);
  const names = Array.isArray(fields) ? fields.map((f: unknown) => asObject(f)['name']) : [];
  const known = typeof bytes === 'number' && typeof rows === 'number' && typeof crc32 === 'string';
  return {
    path,
    ...(names.length > 0 && names.every((name) => typeof name === 'string')
      ? { fields: names }
      : {}),
    ...(known ? { ledger: { bytes, rows, crc32 } } : {}),
  };
}
