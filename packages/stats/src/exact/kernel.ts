import { countRelabelings } from './count-relabelings';
import { KERNEL_BASE64 } from './kernel-bytes';

// Only what is used of WebAssembly: the rooms compile without a browser's or Node's types.
type Memory = { readonly buffer: ArrayBuffer; readonly grow: (pages: number) => number };
type Count = (draws: number, books: number, threshold: number) => number;
type Assembly = {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Memory: new (limits: { readonly initial: number }) => Memory;
  readonly Instance: new (
    module: object,
    imports: object,
  ) => { readonly exports: Readonly<Record<string, Count>> };
};

/** Counts relabelings as countRelabelings does: the same streams give the same count. */
export type RelabelingCounter = typeof countRelabelings;

const BASE = 64;
const BOOKS = 128;
const MOST_BOOKS = 64;
const TABLES = BOOKS + 8 * MOST_BOOKS;
const PAGE = 65_536;

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Bytes of base64 text; the rooms have neither atob nor Buffer. */
export function decodeBase64(text: string): Uint8Array {
  const digits = text.replace(/=+$/, '');
  const bytes = new Uint8Array(Math.floor((digits.length * 3) / 4));
  for (let i = 0, bits = 0, held = 0, at = 0; i < digits.length; i++) {
    held = ((held << 6) | DIGITS.indexOf(digits[i])) & 0xffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      bytes[at++] = (held >> bits) & 0xff;
    }
  }
  return bytes;
}

const build = (assembly: Assembly): RelabelingCounter => {
  const memory = new assembly.Memory({ initial: 1 });
  const module = new assembly.Module(decodeBase64(KERNEL_BASE64));
  const { q, s } = new assembly.Instance(module, { f: { m: memory } }).exports;
  return (books, streams, perStream, threshold) => {
    const { width, base, tables, starts, rows } = books;
    const count = width === 4 ? q : width === 6 ? s : undefined;
    if (count === undefined || rows.length < 1 || rows.length > MOST_BOOKS || perStream < 1)
      return countRelabelings(books, streams, perStream, threshold);
    const missing = TABLES + tables.byteLength - memory.buffer.byteLength;
    if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
    const words = new Int32Array(memory.buffer);
    words.set(streams, 0);
    new Float64Array(memory.buffer, BASE, width).set(base);
    rows.forEach((n, b) => words.set([TABLES + 8 * starts[b], n], (BOOKS + 8 * b) / 4));
    new Float64Array(memory.buffer, TABLES, tables.length).set(tables);
    const hits = count(perStream, rows.length, threshold);
    streams.set(words.subarray(0, 16));
    return hits;
  };
};

let kept: { readonly counter: RelabelingCounter | undefined } | undefined;

/**
 * The vector kernel (kernel.wat), or undefined where this machine has no WebAssembly, none with
 * vectors, or forbids compiling it; then countRelabelings does the same work. More than six
 * treatments go to countRelabelings by themselves.
 */
export function relabelingKernel(): RelabelingCounter | undefined {
  if (kept === undefined) {
    const assembly = (globalThis as { readonly WebAssembly?: Assembly }).WebAssembly;
    try {
      kept = { counter: assembly === undefined ? undefined : build(assembly) };
    } catch {
      // Engines without vectors, and pages whose policy forbids it, refuse to compile.
      kept = { counter: undefined };
    }
  }
  return kept.counter;
}
