import { createHash } from 'node:crypto';
import { packageToTrial, trialToPackage } from '@fairbed/files';
import { makeSeason, wholeSeason } from '../packages/files/gallery/makeseason';
import { alternately, type Row } from './timing';

const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

/** Twenty photos of 300 kB whose bytes can not be packed any tighter, as those of a JPEG. */
function photosOf(count: number): ReadonlyMap<string, Uint8Array> {
  const photos = new Map<string, Uint8Array>();
  for (let i = 0; i < count; i++) {
    const bytes = new Uint8Array(300_000);
    let state = i + 1;
    for (let k = 0; k < bytes.length; k++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      bytes[k] = state >>> 24;
    }
    bytes.set([0xff, 0xd8, 0xff]);
    photos.set(sha256(bytes), bytes);
  }
  return photos;
}

/** A season of 24,000 entries written to a package and read back, without photos and with twenty. */
export function benchPackage(): readonly Row[] {
  const { trial, entries } = makeSeason(wholeSeason);
  const photos = photosOf(20);
  const plain = trialToPackage(trial, { entries });
  const pictured = trialToPackage(trial, { entries, photos });
  const read = (bytes: Uint8Array): number => {
    const back = packageToTrial(bytes, 'season.zip', sha256);
    if (back.entries?.length !== entries.length) throw new Error('the package was not read');
    return back.entries.length;
  };
  const works = [
    () => trialToPackage(trial, { entries }).length,
    () => read(plain),
    () => trialToPackage(trial, { entries, photos }).length,
    () => read(pictured),
  ];
  const times = alternately(works, { warm: 2, rounds: 9 });
  const mb = (bytes: Uint8Array): string => `${(bytes.length / 1e6).toFixed(2)} MB`;
  const names = ['write the package', 'read it', 'write it with 20 photos', 'read it with them'];
  return times.map((oursMs, i) => ({
    name: names[i],
    oursMs,
    peerMs: null,
    ratio: null,
    ...(i === 0 ? { note: mb(plain) } : i === 2 ? { note: mb(pictured) } : {}),
  }));
}
