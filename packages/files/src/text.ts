import { limits } from './limits';

/**
 * Text of a file as UTF-8 bytes without a byte order mark. Reads UTF-8 and UTF-16 (marked, or
 * unmarked with every second byte zero) and takes whatever is not valid UTF-8 for Windows-1252, as
 * older spreadsheets write it. The result is always a fresh copy. `undefined`: the bytes are no text.
 */
export function toUtf8(
  bytes: Uint8Array,
): { readonly bytes: Uint8Array; readonly encoding: Encoding } | undefined {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) {
    return { bytes: utf16ToUtf8(bytes.subarray(2), true), encoding: 'utf-16' };
  }
  if (bytes[0] === 0xfe && bytes[1] === 0xff) {
    return { bytes: utf16ToUtf8(bytes.subarray(2), false), encoding: 'utf-16' };
  }
  const zeros = countZeros(bytes);
  if (zeros.even + zeros.odd > 0) {
    const half = Math.min(bytes.length, sample) / 2;
    const littleEndian = zeros.odd > half * 0.7 && zeros.even < half * 0.1;
    const bigEndian = zeros.even > half * 0.7 && zeros.odd < half * 0.1;
    if (!littleEndian && !bigEndian) return undefined;
    return { bytes: utf16ToUtf8(bytes, littleEndian), encoding: 'utf-16' };
  }
  const marked = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
  const body = marked ? bytes.slice(3) : bytes.slice();
  if (isUtf8(body)) return { bytes: body, encoding: 'utf-8' };
  return { bytes: windows1252ToUtf8(body), encoding: 'windows-1252' };
}

export type Encoding = 'utf-8' | 'utf-16' | 'windows-1252';

const sample = 4096;

function countZeros(bytes: Uint8Array): { even: number; odd: number } {
  const zeros = { even: 0, odd: 0 };
  const end = Math.min(bytes.length, sample);
  for (let i = 0; i < end; i++) {
    if (bytes[i] === 0) {
      if (i % 2 === 0) zeros.even++;
      else zeros.odd++;
    }
  }
  return zeros;
}

/** Bytes at the beginning that are surely ASCII, looked at four at a time. */
function plainPrefix(bytes: Uint8Array): number {
  if (bytes.byteOffset % 4 !== 0) return 0;
  const words = new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
  let w = 0;
  while (w < words.length && ((words[w] as number) & 0x80808080) === 0) w++;
  return w * 4;
}

/** True when every byte sequence is well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates). */
export function isUtf8(bytes: Uint8Array): boolean {
  let i = plainPrefix(bytes);
  while (i < bytes.length) {
    const b = bytes[i] as number;
    if (b < 0x80) {
      i++;
      continue;
    }
    const length =
      b >= 0xc2 && b < 0xe0 ? 2 : b >= 0xe0 && b < 0xf0 ? 3 : b >= 0xf0 && b < 0xf5 ? 4 : 0;
    if (length === 0 || i + length > bytes.length) return false;
    const second = bytes[i + 1] as number;
    const low = b === 0xe0 ? 0xa0 : b === 0xf0 ? 0x90 : 0x80;
    const high = b === 0xed ? 0x9f : b === 0xf4 ? 0x8f : 0xbf;
    if (second < low || second > high) return false;
    for (let k = 2; k < length; k++) {
      if (((bytes[i + k] as number) & 0xc0) !== 0x80) return false;
    }
    i += length;
  }
  return true;
}

/** Bytes 0x80 to 0x9f of Windows-1252; the five that are not assigned stand for themselves. */
const upper1252 = [
  0x20ac, 0x81, 0x201a, 0x192, 0x201e, 0x2026, 0x2020, 0x2021, 0x2c6, 0x2030, 0x160, 0x2039, 0x152,
  0x8d, 0x17d, 0x8f, 0x90, 0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014, 0x2dc, 0x2122,
  0x161, 0x203a, 0x153, 0x9d, 0x17e, 0x178,
];

/** A byte sink that doubles as it fills. */
function sink(size: number) {
  let buffer = new Uint8Array(Math.max(16, size));
  let length = 0;
  const put = (code: number): void => {
    if (length + 4 > buffer.length) {
      const larger = new Uint8Array(buffer.length * 2);
      larger.set(buffer);
      buffer = larger;
    }
    if (code < 0x80) buffer[length++] = code;
    else if (code < 0x800) {
      buffer[length++] = 0xc0 | (code >> 6);
      buffer[length++] = 0x80 | (code & 63);
    } else if (code < 0x10000) {
      buffer[length++] = 0xe0 | (code >> 12);
      buffer[length++] = 0x80 | ((code >> 6) & 63);
      buffer[length++] = 0x80 | (code & 63);
    } else {
      buffer[length++] = 0xf0 | (code >> 18);
      buffer[length++] = 0x80 | ((code >> 12) & 63);
      buffer[length++] = 0x80 | ((code >> 6) & 63);
      buffer[length++] = 0x80 | (code & 63);
    }
  };
  return { put, bytes: () => buffer.subarray(0, length) };
}

function windows1252ToUtf8(bytes: Uint8Array): Uint8Array {
  const out = sink(bytes.length * 1.1);
  for (const b of bytes) out.put(b >= 0x80 && b < 0xa0 ? (upper1252[b - 0x80] as number) : b);
  return out.bytes();
}

const replacement = 0xfffd;

function utf16ToUtf8(bytes: Uint8Array, littleEndian: boolean): Uint8Array {
  const out = sink(bytes.length * 0.75);
  const unit = (i: number): number => {
    const a = bytes[i] as number;
    const b = bytes[i + 1] as number;
    return littleEndian ? a | (b << 8) : (a << 8) | b;
  };
  for (let i = 0; i + 1 < bytes.length; i += 2) {
    const code = unit(i);
    if (code < 0xd800 || code > 0xdfff) out.put(code);
    else {
      const next = code < 0xdc00 && i + 3 < bytes.length ? unit(i + 2) : 0;
      if (next >= 0xdc00 && next <= 0xdfff) {
        out.put(0x10000 + ((code - 0xd800) << 10) + (next - 0xdc00));
        i += 2;
      } else out.put(replacement);
    }
  }
  return out.bytes();
}

/** Text of well-formed UTF-8 bytes from `start` to `end`; at most a cell's length of it. */
export function fromUtf8(bytes: Uint8Array, start = 0, end = bytes.length): string {
  const stop = Math.min(end, start + limits.cellLength * 4);
  let text = '';
  let i = start;
  while (i < stop) {
    const b = bytes[i] as number;
    if (b < 0x80) {
      text += String.fromCharCode(b);
      i++;
    } else {
      const length = b < 0xe0 ? 2 : b < 0xf0 ? 3 : 4;
      let code = b & (0x7f >> length);
      for (let k = 1; k < length; k++) code = (code << 6) | ((bytes[i + k] ?? 0x80) & 63);
      text += String.fromCodePoint(code);
      i += length;
    }
  }
  return text;
}
