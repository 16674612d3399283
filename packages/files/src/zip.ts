import { Inflate } from 'fflate';
import { limits } from './limits';
import { fromUtf8, isUtf8 } from './text';

export type ZipRefusal =
  | 'zip-broken'
  | 'zip-encrypted'
  | 'zip-too-many'
  | 'zip-bomb'
  | 'zip-path'
  | 'zip-method';

type Entry = {
  readonly name: string;
  readonly method: number;
  readonly crc: number;
  readonly start: number;
  readonly compressed: number;
  readonly declared: number;
};

/** How many files a zip may hold, and how many bytes may come out of it. */
export type ZipBounds = { readonly inflatedBytes: number; readonly zipEntries: number };

/** A zip that was looked through but not yet inflated. */
export type Zip = {
  readonly names: readonly string[];
  /** Feeds the inflated bytes of one entry to `take`, piece by piece; a refusal, or undefined when whole. */
  readonly stream: (name: string, take: (piece: Uint8Array) => void) => ZipRefusal | undefined;
  /** The whole of one entry. */
  readonly read: (name: string) => Uint8Array | ZipRefusal;
};

const u16 = (b: Uint8Array, i: number): number => (b[i] ?? 0) | ((b[i + 1] ?? 0) << 8);
const u32 = (b: Uint8Array, i: number): number => (u16(b, i) | (u16(b, i + 2) << 16)) >>> 0;

/** True for bytes that begin as a zip does. */
export const isZip = (b: Uint8Array): boolean =>
  b[0] === 0x50 && b[1] === 0x4b && ((b[2] === 3 && b[3] === 4) || (b[2] === 5 && b[3] === 6));

/**
 * Reads the table of contents of a zip (PKWARE APPNOTE 6.3, sections 4.3.12 and 4.3.16). Names are
 * held against path traversal, sizes against the limits; inflated bytes are counted while they
 * come, over all entries together, so that a false declared size does not help a bomb.
 */
export function openZip(bytes: Uint8Array, bounds: ZipBounds = limits): Zip | ZipRefusal {
  const end = findEnd(bytes);
  if (end === undefined) return 'zip-broken';
  const count = u16(bytes, end + 10);
  if (count > bounds.zipEntries) return 'zip-too-many';
  const entries = new Map<string, Entry>();
  let at = u32(bytes, end + 16);
  let declared = 0;
  for (let i = 0; i < count; i++) {
    if (u32(bytes, at) !== 0x02014b50) return 'zip-broken';
    if ((u16(bytes, at + 8) & 1) === 1) return 'zip-encrypted';
    const entry = readEntry(bytes, at);
    if (entry === undefined) return 'zip-broken';
    if (unsafeName(entry.name)) return 'zip-path';
    if (entries.has(entry.name)) return 'zip-broken';
    if (entry.method !== 0 && entry.method !== 8) return 'zip-method';
    declared += entry.declared;
    if (declared > bounds.inflatedBytes) return 'zip-bomb';
    entries.set(entry.name, entry);
    at += 46 + u16(bytes, at + 28) + u16(bytes, at + 30) + u16(bytes, at + 32);
  }
  return opened(bytes, entries, bounds.inflatedBytes);
}

function opened(bytes: Uint8Array, entries: ReadonlyMap<string, Entry>, most: number): Zip {
  const budget = { left: most };
  const stream: Zip['stream'] = (name, take) => {
    const entry = entries.get(name);
    return entry === undefined ? 'zip-broken' : inflate(bytes, entry, budget, take);
  };
  return {
    names: [...entries.keys()],
    stream,
    read(name) {
      const pieces: Uint8Array[] = [];
      let length = 0;
      const refusal = stream(name, (piece) => {
        pieces.push(piece.slice());
        length += piece.length;
      });
      if (refusal !== undefined) return refusal;
      const whole = new Uint8Array(length);
      let at = 0;
      for (const piece of pieces) {
        whole.set(piece, at);
        at += piece.length;
      }
      return whole;
    },
  };
}

function findEnd(bytes: Uint8Array): number | undefined {
  const lowest = Math.max(0, bytes.length - 65_557);
  for (let i = bytes.length - 22; i >= lowest; i--) {
    if (u32(bytes, i) === 0x06054b50) return i;
  }
  return undefined;
}

function readEntry(bytes: Uint8Array, at: number): Entry | undefined {
  const nameLength = u16(bytes, at + 28);
  const local = u32(bytes, at + 42);
  const compressed = u32(bytes, at + 20);
  if (u32(bytes, local) !== 0x04034b50) return undefined;
  const start = local + 30 + u16(bytes, local + 26) + u16(bytes, local + 28);
  if (start + compressed > bytes.length) return undefined;
  const name = bytes.subarray(at + 46, at + 46 + nameLength);
  if (!isUtf8(name)) return undefined;
  return {
    name: fromUtf8(name),
    method: u16(bytes, at + 10),
    crc: u32(bytes, at + 16),
    start,
    compressed,
    declared: u32(bytes, at + 24),
  };
}

const unsafeName = (name: string): boolean =>
  name.startsWith('/') ||
  name.includes('\\') ||
  name.includes('\0') ||
  /^[A-Za-z]:/.test(name) ||
  name.split('/').includes('..');

class TooMuch extends Error {}
class TakerFailed extends Error {}

/** Pieces of compressed input, small enough that one of them can't inflate beyond 16 MB. */
const step = 16_384;

function inflate(
  bytes: Uint8Array,
  entry: Entry,
  budget: { left: number },
  take: (piece: Uint8Array) => void,
): ZipRefusal | undefined {
  let crc = 0xffffffff;
  let failure: unknown;
  const pass = (piece: Uint8Array): void => {
    budget.left -= piece.length;
    if (budget.left < 0) throw new TooMuch();
    crc = crcOn(crc, piece);
    try {
      take(piece);
    } catch (error) {
      failure = error;
      throw new TakerFailed();
    }
  };
  try {
    const body = bytes.subarray(entry.start, entry.start + entry.compressed);
    if (entry.method === 0) pass(body);
    else {
      const inflater = new Inflate(pass);
      for (let at = 0; at < body.length; at += step) {
        inflater.push(body.subarray(at, at + step), at + step >= body.length);
      }
    }
  } catch (error) {
    // What the reader of the pieces threw is its own affair; only inflating is judged here.
    if (error instanceof TakerFailed) throw failure;
    return error instanceof TooMuch ? 'zip-bomb' : 'zip-broken';
  }
  return (crc ^ 0xffffffff) >>> 0 === entry.crc ? undefined : 'zip-broken';
}

const crcTable = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/** CRC-32 of bytes (ISO 3309, as zips use it), eight hexadecimal digits. */
export const crc32 = (bytes: Uint8Array): string =>
  ((crcOn(0xffffffff, bytes) ^ 0xffffffff) >>> 0).toString(16).padStart(8, '0');

function crcOn(crc: number, piece: Uint8Array): number {
  let c = crc;
  for (const byte of piece) c = (crcTable[(c ^ byte) & 255] as number) ^ (c >>> 8);
  return c;
}
