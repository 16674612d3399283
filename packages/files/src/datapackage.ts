import type { Problem } from '@fairbed/field';
import { readTrialText, type Trial } from '@fairbed/trial';
import { strFromU8, strToU8, type Zippable, zipSync } from 'fflate';
import { csvText } from './csvout';
import { limits } from './limits';
import { type PackageTable, packageTables } from './packagetables';
import { isUtf8 } from './text';
import { say } from './say';
import { isZip, openZip, type Zip } from './zip';

/** Files of the package that are not a trial's tables: a read-me, a report, weather, photos. */
export type PackageExtras = { readonly [path: string]: string | Uint8Array };

/** Zips carry a date for each file; a fixed one makes equal trials equal packages. */
const writtenOn = new Date(2000, 0, 1);

/**
 * The trial as an open data package (Frictionless Data Package v1: datapackage.json with a table
 * schema for each CSV table), with `trial.json`, the whole document, beside the tables. The same
 * trial always gives the same bytes. `extras` are put in as they are.
 */
export function trialToPackage(trial: Trial, extras: PackageExtras = {}): Uint8Array {
  const tables = packageTables(trial);
  const files: Zippable = {};
  const put = (path: string, content: string | Uint8Array): void => {
    files[path] = [
      typeof content === 'string' ? strToU8(content) : content,
      { mtime: writtenOn, level: 6 },
    ];
  };
  put('datapackage.json', `${JSON.stringify(descriptor(trial, tables), null, 2)}\n`);
  put('trial.json', `${JSON.stringify(trial, null, 1)}\n`);
  for (const t of tables) put(`${t.name}.csv`, tableText(t));
  for (const [path, content] of Object.entries(extras)) {
    if (!(path in files)) put(path, content);
  }
  return zipSync(files);
}

const tableText = (t: PackageTable): string =>
  csvText(
    t.fields.map((f) => f.name),
    t.rows,
  );

function descriptor(trial: Trial, tables: readonly PackageTable[]): unknown {
  return {
    profile: 'data-package',
    name: packageName(trial.id),
    title: trial.title,
    ...(trial.question === undefined ? {} : { description: trial.question }),
    ...(trial.invented === true ? { keywords: ['invented'] } : {}),
    resources: [
      ...tables.map((t) => ({
        profile: 'tabular-data-resource',
        name: t.name,
        path: `${t.name}.csv`,
        description: t.about,
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        schema: schemaOf(t),
      })),
      {
        name: 'trial',
        path: 'trial.json',
        description: 'The whole trial, fairbed-trial version 1; the tables are copies of its parts',
        format: 'json',
        mediatype: 'application/json',
      },
    ],
  };
}

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

export type PackageResult = { readonly trial?: Trial; readonly problems: readonly Problem[] };

/** True where the bytes are a zip that holds a datapackage.json or a trial.json. */
export function isDataPackage(bytes: Uint8Array): boolean {
  if (!isZip(bytes)) return false;
  const zip = openZip(bytes);
  return (
    typeof zip !== 'string' && zip.names.some((n) => n === 'datapackage.json' || n === 'trial.json')
  );
}

/**
 * The trial in a data package, whole, validated against the trial's schema. Tables edited since the
 * package was written are noted and not used. Never throws: hostile or broken packages come back as
 * problems.
 */
export function packageToTrial(bytes: Uint8Array, fileName = 'data package'): PackageResult {
  const file = fileName;
  if (bytes.length > limits.fileBytes) {
    return {
      problems: [say('too-large', { file }, bytes.length / 1048576, limits.fileBytes / 1048576)],
    };
  }
  if (!isZip(bytes)) return { problems: [say('package-no-trial', { file })] };
  const zip = openZip(bytes);
  if (typeof zip === 'string') return { problems: [say(zip, { file })] };
  if (!zip.names.includes('trial.json')) return { problems: [say('package-no-trial', { file })] };
  const json = zip.read('trial.json');
  if (typeof json === 'string') return { problems: [say(json, { file })] };
  if (!isUtf8(json)) return { problems: [say('package-broken', { file })] };
  const read = readTrialText(strFromU8(json));
  if (!read.ok) return { problems: read.problems.map((p) => ({ ...p, file })) };
  const notes = read.notes.map((p) => ({ ...p, file }));
  return { trial: read.trial, problems: [...notes, ...editedTables(read.trial, zip, file)] };
}

function editedTables(trial: Trial, zip: Zip, file: string): Problem[] {
  return packageTables(trial).flatMap((t) => {
    const path = `${t.name}.csv`;
    if (!zip.names.includes(path)) return [];
    const there = zip.read(path);
    if (typeof there === 'string') return [say(there, { file })];
    const expected = strToU8(tableText(t));
    const same = there.length === expected.length && there.every((b, i) => b === expected[i]);
    return same ? [] : [say('package-edited', { file }, path)];
  });
}
