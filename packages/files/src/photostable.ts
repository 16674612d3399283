import type { Trial } from '@fairbed/trial';
import { field, type PackageTable, plotKey, roundKey, table } from './packagetable';

/** Bytes of photos by the SHA-256 (64 hexadecimal digits, lower case) of those bytes. */
export type Photos = ReadonlyMap<string, Uint8Array>;

const kinds = [
  { ext: 'jpg', type: 'image/jpeg', starts: [0xff, 0xd8, 0xff] },
  { ext: 'png', type: 'image/png', starts: [0x89, 0x50, 0x4e, 0x47] },
  { ext: 'webp', type: 'image/webp', starts: [0x52, 0x49, 0x46, 0x46] },
] as const;

/** What a photo's first bytes say it is; anything else is kept as plain bytes, never lost. */
function kindOf(bytes: Uint8Array): { readonly ext: string; readonly type: string } {
  const kind = kinds.find(({ starts }) => starts.every((b, i) => bytes[i] === b));
  return kind ?? { ext: 'bin', type: 'application/octet-stream' };
}

/** Where a photo stands in the package: its hash is its name. */
export const photoPath = (hash: string, bytes: Uint8Array): string =>
  `photos/${hash}.${kindOf(bytes).ext}`;

/** The media type of a photo's bytes. */
export const photoType = (bytes: Uint8Array): string => kindOf(bytes).type;

const pathForm = /^photos\/([0-9a-f]{64})\.(jpg|png|webp|bin)$/;

/** The hash that a path in the package names; undefined where it is no path of a photo. */
export const photoHash = (path: string): string | undefined => pathForm.exec(path)?.[1];

/**
 * photos.csv: every photo of the trial with its time and place, and every photo carried, in the
 * order of their hashes. `path` is empty for a photo that the package does not carry.
 */
export function photosTable(trial: Trial, carried: Photos): PackageTable {
  const known = new Map((trial.photos ?? []).map((p) => [p.hash, p]));
  const hashes = [...new Set([...known.keys(), ...carried.keys()])].sort();
  const rows = hashes.map((hash) => ({ hash, about: known.get(hash), bytes: carried.get(hash) }));
  return table(
    {
      name: 'photos',
      about: 'Photos, named by the SHA-256 of their bytes',
      primaryKey: ['hash'],
      foreignKeys: [plotKey, roundKey],
    },
    rows,
    [
      field('hash', 'string', (p) => p.hash, 'SHA-256 of the bytes'),
      field('path', 'string', (p) => p.bytes && photoPath(p.hash, p.bytes), 'empty: not here'),
      field('bytes', 'integer', (p) => p.bytes?.length ?? p.about?.bytes),
      field('width', 'integer', (p) => p.about?.width, 'pixels'),
      field('height', 'integer', (p) => p.about?.height, 'pixels'),
      field('day', 'date', (p) => p.about?.day),
      field('time', 'string', (p) => p.about?.time, 'hours and minutes'),
      field('round', 'string', (p) => p.about?.round),
      field('plot', 'string', (p) => p.about?.plot),
      field('plant', 'string', (p) => p.about?.plant),
    ],
  );
}
