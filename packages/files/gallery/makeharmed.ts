import { unzipSync, zipSync } from 'fflate';

/** A package of the same parts with some of them changed, packed anew so that its zip is whole. */
export function makeHarmed(
  whole: Uint8Array,
  change: (parts: Record<string, Uint8Array>) => void,
): Uint8Array {
  const parts = unzipSync(whole);
  change(parts);
  return zipSync(parts);
}
