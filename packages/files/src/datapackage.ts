import type { Trial } from '@fairbed/trial';
import { strToU8, type Zippable, zipSync } from 'fflate';
import { type LedgerEntry, ledgerText } from './ledgertable';
import { descriptor } from './packagedescriptor';
import { packageReadme } from './packagereadme';
import { tableText } from './packagetable';
import { packageTables } from './packagetables';
import { type Photos, photoPath, photosTable } from './photostable';
import { crc32 } from './zip';

/** Files of the package that are not a trial's own: a report, weather, another read-me. */
export type PackageExtras = { readonly [path: string]: string | Uint8Array };

/** What goes into a package beside the trial. */
export type PackageParts = {
  /** The ledger that the trial was folded from. */
  readonly entries?: readonly LedgerEntry[];
  /** Bytes of photos by their SHA-256. */
  readonly photos?: Photos;
  readonly extras?: PackageExtras;
};

/** Zips carry a date for each file; a fixed one makes equal trials equal packages. */
const writtenOn = new Date(2000, 0, 1);

/**
 * The trial as an open data package (Frictionless Data Package v1: datapackage.json with a table
 * schema for each CSV table), with `trial.json`, the whole document, beside the tables; the ledger
 * as entries.csv and photos, not packed any tighter, where given. The same content always gives the
 * same bytes, whatever order entries and photos came in. An extra never takes the place of a
 * part of the trial; only README.md may be replaced.
 */
export function trialToPackage(trial: Trial, parts: PackageParts = {}): Uint8Array {
  const { entries, extras = {} } = parts;
  const photos = new Map([...(parts.photos ?? [])].sort(([a], [b]) => (a < b ? -1 : 1)));
  const pictures = photosTable(trial, photos);
  const tables = [...packageTables(trial), ...(pictures.rows.length > 0 ? [pictures] : [])];
  const ledger = entries === undefined ? undefined : strToU8(ledgerText(entries));
  const size = ledger && {
    bytes: ledger.length,
    rows: entries?.length ?? 0,
    crc32: crc32(ledger),
  };

  const files: Zippable = {};
  const put = (path: string, content: string | Uint8Array, level: 0 | 6 = 6): void => {
    const bytes = typeof content === 'string' ? strToU8(content) : content;
    files[path] = [bytes, { mtime: writtenOn, level }];
  };
  const described = { trial, tables, photos, ...(size === undefined ? {} : { ledger: size }) };
  put('datapackage.json', `${JSON.stringify(descriptor(described), null, 2)}\n`);
  put('trial.json', `${JSON.stringify(trial, null, 1)}\n`);
  for (const t of tables) put(`${t.name}.csv`, tableText(t));
  if (ledger !== undefined) put('entries.csv', ledger);
  for (const [hash, bytes] of photos) put(photoPath(hash, bytes), bytes, 0);
  for (const [path, content] of Object.entries(extras)) {
    if (!(path in files)) put(path, content);
  }
  if (!('README.md' in files)) {
    const counts = { entries: entries?.length, photos: photos.size };
    put('README.md', packageReadme({ trial, tables, ...counts }));
  }
  return zipSync(files);
}
