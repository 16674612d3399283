import type { Problem } from '@fairbed/field';
import { canonicalJson, readTrialText, type Trial } from '@fairbed/trial';
import { strFromU8, strToU8 } from 'fflate';
import { type LedgerEntry, type ReadLedger, readLedger } from './ledgertable';
import { limits } from './limits';
import { readDescriptor, type Resource } from './packagedescriptor';
import { tableText } from './packagetable';
import { packageTables } from './packagetables';
import { photoHash, type Photos, photosTable } from './photostable';
import { say } from './say';
import { fromUtf8, isUtf8 } from './text';
import { crc32, isZip, openZip, type Zip, type ZipBounds, type ZipRefusal } from './zip';

/**
 * What a package held. With any problem of kind `fault` there is nothing but problems: a package is
 * taken whole or not at all.
 */
export type PackageResult = {
  readonly trial?: Trial;
  /** The ledger, in clock order; absent where the package carries none. */
  readonly entries?: readonly LedgerEntry[];
  /** Photos whose bytes were held against their hash; absent where no SHA-256 was given. */
  readonly photos?: Photos;
  readonly problems: readonly Problem[];
};

/** Photos are stored as they are, so they can add no more than the file is long. */
const boundsOf = (bytes: Uint8Array): ZipBounds => ({
  inflatedBytes: limits.inflatedBytes + bytes.length,
  zipEntries: limits.packageEntries,
});

/**
 * The folder that holds the package inside its zip: none, or the one folder that a file manager
 * adds when an unpacked package is packed again. Undefined where there is no package.
 */
function rootOf(names: readonly string[]): string | undefined {
  if (names.includes('datapackage.json') || names.includes('trial.json')) return '';
  const roots = names.flatMap((name) => /^([^/]+\/)datapackage\.json$/.exec(name)?.[1] ?? []);
  const own = roots.filter((root) => root !== '__MACOSX/');
  return own.length === 1 ? own[0] : undefined;
}

/** Our own packages have the descriptor first, so that even one with its end cut off is known. */
const beginsAsPackage = (bytes: Uint8Array): boolean =>
  fromUtf8(bytes.subarray(30, 46)) === 'datapackage.json';

/** True where the bytes are a zip that holds, or should hold, a datapackage.json or a trial.json. */
export function isDataPackage(bytes: Uint8Array): boolean {
  if (!isZip(bytes)) return false;
  const zip = openZip(bytes, boundsOf(bytes));
  return typeof zip === 'string' ? beginsAsPackage(bytes) : rootOf(zip.names) !== undefined;
}

/**
 * The trial in a data package, whole and validated, with its ledger and its photos. Refused whole,
 * with reasons, where the zip is cut or damaged in any part, a listed part is missing, a row of the
 * ledger is malformed or the ledger was changed, or a photo does not have its hash. Tables edited
 * since the package was written are noted and not used. Never throws: hostile or broken packages
 * come back as problems. A seal whose hash does not fit its plan is a question.
 *
 * `sha256` gives 64 hexadecimal digits; without it photos are not given out.
 */
export function packageToTrial(
  bytes: Uint8Array,
  fileName = 'data package',
  sha256?: (bytes: Uint8Array) => string,
): PackageResult {
  const { photos, ...rest } = opened(bytes, fileName);
  if (photos === undefined || sha256 === undefined) return rest;
  const wrong = photos.filter((p) => sha256(p.bytes).toLowerCase() !== p.hash);
  const broken = sealsOf(rest.entries).filter((s) => sha256(s.bytes).toLowerCase() !== s.hash);
  return withPhotos(withSeals(rest, broken, fileName), photos, wrong, fileName);
}

/** As {@link packageToTrial}, for a SHA-256 that takes its time, as a browser's own does. */
export async function readPackage(
  bytes: Uint8Array,
  fileName: string,
  sha256: (bytes: Uint8Array) => Promise<string>,
): Promise<PackageResult> {
  const { photos, ...rest } = opened(bytes, fileName);
  if (photos === undefined) return rest;
  const wrong: Photo[] = [];
  for (const p of photos) {
    if ((await sha256(p.bytes)).toLowerCase() !== p.hash) wrong.push(p);
  }
  const broken: Sealed[] = [];
  for (const s of sealsOf(rest.entries)) {
    if ((await sha256(s.bytes)).toLowerCase() !== s.hash) broken.push(s);
  }
  return withPhotos(withSeals(rest, broken, fileName), photos, wrong, fileName);
}

type Sealed = { readonly id: string; readonly hash: string; readonly bytes: Uint8Array };

const isFields = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null;

/** The text of every seal in the ledger, whose SHA-256 its hash must be. */
const sealsOf = (entries: readonly LedgerEntry[] = []): readonly Sealed[] =>
  entries.flatMap(({ id, kind, value }) => {
    if (kind !== 'seal' || !isFields(value) || typeof value.hash !== 'string') return [];
    return [{ id, hash: value.hash, bytes: strToU8(canonicalJson(value.plan)) }];
  });

/** A seal that does not fit is asked about: the figures are what they are, the promise is not. */
const withSeals = (
  rest: Omit<PackageResult, 'photos'>,
  broken: readonly Sealed[],
  file: string,
): Omit<PackageResult, 'photos'> => ({
  ...rest,
  problems: [...rest.problems, ...broken.map(({ id }) => say('seal-differs', { file }, id))],
});

type Photo = { readonly hash: string; readonly path: string; readonly bytes: Uint8Array };
type Opened = Omit<PackageResult, 'photos'> & { readonly photos?: readonly Photo[] };

const withPhotos = (
  rest: Omit<PackageResult, 'photos'>,
  photos: readonly Photo[],
  wrong: readonly Photo[],
  file: string,
): PackageResult =>
  wrong.length > 0
    ? { problems: wrong.map((p) => say('photo-changed', { file }, p.path)) }
    : { ...rest, photos: new Map(photos.map((p) => [p.hash, p.bytes])) };

/** Everything but the hashes of photos. */
function opened(bytes: Uint8Array, file: string): Opened {
  if (bytes.length > limits.packageBytes) {
    const [mb, most] = [bytes.length / 1048576, limits.packageBytes / 1048576];
    return { problems: [say('package-too-large', { file }, mb, most)] };
  }
  if (!isZip(bytes)) return { problems: [say('package-no-trial', { file })] };
  const zip = openZip(bytes, boundsOf(bytes));
  if (typeof zip === 'string') return { problems: [zipProblem(zip, file)] };
  const root = rootOf(zip.names);
  if (root === undefined) return { problems: [say('package-no-trial', { file })] };
  const parts = unpack(zip, root, file);
  if ('problems' in parts) return parts;
  const listed = resourcesOf(parts, file);
  return 'problems' in listed ? listed : contents(parts, listed, file);
}

function zipProblem(refusal: ZipRefusal, file: string): Problem {
  if (refusal === 'zip-broken') return say('package-cut', { file });
  if (refusal === 'zip-bomb') return say('package-bomb', { file });
  return say(refusal, { file });
}

type Parts = ReadonlyMap<string, Uint8Array>;
type Refused = { readonly problems: readonly Problem[] };

/** Every part below the root; each part of the zip is held against its checksum, needed or not. */
function unpack(zip: Zip, root: string, file: string): Parts | Refused {
  const parts = new Map<string, Uint8Array>();
  const problems: Problem[] = [];
  for (const name of zip.names) {
    const part = zip.read(name);
    if (part === 'zip-bomb') return { problems: [zipProblem(part, file)] };
    if (typeof part === 'string') problems.push(say('package-part-broken', { file }, name));
    else if (name.startsWith(root)) parts.set(name.slice(root.length), part);
  }
  return problems.length > 0 ? { problems } : parts;
}

const isOutside = (path: string): boolean =>
  /^[/\\]|^[A-Za-z][A-Za-z0-9+.-]*:|\\/.test(path) || path.split('/').includes('..');

/** What the descriptor lists, once it is sure that all of it is there. */
function resourcesOf(parts: Parts, file: string): readonly Resource[] | Refused {
  const json = parts.get('datapackage.json');
  if (json === undefined) return { problems: [say('package-no-descriptor', { file })] };
  const resources = isUtf8(json) ? readDescriptor(strFromU8(json)) : undefined;
  if (resources === undefined) return { problems: [say('package-descriptor', { file })] };
  const problems = resources.flatMap(({ path }) => {
    if (isOutside(path)) return [say('package-part-outside', { file }, path)];
    if (!parts.has(path)) return [say('package-part-missing', { file }, path)];
    return path.startsWith('photos/') && photoHash(path) === undefined
      ? [say('photo-name', { file }, path)]
      : [];
  });
  if (!parts.has('trial.json')) problems.push(say('package-no-trial', { file }));
  return problems.length > 0 ? { problems } : resources;
}

function contents(parts: Parts, resources: readonly Resource[], file: string): Opened {
  const trial = trialOf(parts, file);
  const ledger = ledgerOf(parts, resources, file);
  const problems = [...trial.problems, ...(ledger?.problems ?? [])];
  if (trial.trial === undefined || problems.some((p) => p.kind === 'fault')) return { problems };
  const photos = photosOf(parts, resources);
  return {
    trial: trial.trial,
    ...(ledger === undefined ? {} : { entries: ledger.entries }),
    photos,
    problems: [
      ...problems,
      ...editedTables({ trial: trial.trial, photos, parts, resources, file }),
    ],
  };
}

function trialOf(parts: Parts, file: string): { trial?: Trial; problems: readonly Problem[] } {
  const json = parts.get('trial.json');
  if (json === undefined || !isUtf8(json)) return { problems: [say('package-broken', { file })] };
  const read = readTrialText(strFromU8(json));
  return read.ok
    ? { trial: read.trial, problems: read.notes.map((p) => ({ ...p, file })) }
    : { problems: read.problems.map((p) => ({ ...p, file })) };
}

/** The ledger, held against its size in the descriptor; undefined where there is none. */
function ledgerOf(
  parts: Parts,
  resources: readonly Resource[],
  file: string,
): ReadLedger | undefined {
  const bytes = parts.get('entries.csv');
  if (bytes === undefined) return undefined;
  const where = `${file}, entries.csv`;
  const read = readLedger(bytes, where);
  const ledger = resources.find(({ path }) => path === 'entries.csv')?.ledger;
  if (read.problems.length > 0 || ledger === undefined) return read;
  const { rows } = ledger;
  return crc32(bytes) === ledger.crc32 && read.entries.length === rows
    ? read
    : {
        entries: [],
        problems: [say('entries-changed', { file: where }, read.entries.length, rows)],
      };
}

const photosOf = (parts: Parts, resources: readonly Resource[]): readonly Photo[] =>
  resources.flatMap(({ path }) => {
    const hash = photoHash(path);
    const bytes = parts.get(path);
    return hash === undefined || bytes === undefined ? [] : [{ hash, path, bytes }];
  });

type Compared = {
  readonly trial: Trial;
  readonly photos: readonly Photo[];
  readonly parts: Parts;
  readonly resources: readonly Resource[];
  readonly file: string;
};

/**
 * A note for each table that is not what the trial gives. Only the columns that the descriptor
 * names are compared, so that a package of an earlier version, with fewer, is not called edited.
 */
function editedTables({ trial, photos, parts, resources, file }: Compared): Problem[] {
  const carried = new Map(photos.map((p) => [p.hash, p.bytes]));
  return [...packageTables(trial), photosTable(trial, carried)].flatMap((t) => {
    const path = `${t.name}.csv`;
    const there = parts.get(path);
    const fields = resources.find((r) => r.path === path)?.fields;
    const text = fields === undefined ? undefined : tableText(t, fields);
    if (there === undefined || text === undefined) return [];
    const expected = strToU8(text);
    const same = there.length === expected.length && there.every((b, i) => b === expected[i]);
    return same ? [] : [say('package-edited', { file }, path)];
  });
}
