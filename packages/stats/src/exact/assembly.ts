// Only what is used of WebAssembly: the rooms compile without a browser's or Node's types.
type Memory = { readonly buffer: ArrayBuffer; readonly grow: (pages: number) => number };
type Run = (...numbers: readonly number[]) => number;
type WebAssemblyUsed = {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Memory: new (limits: { readonly initial: number }) => Memory;
  readonly Instance: new (
    module: object,
    imports: object,
  ) => { readonly exports: Readonly<Record<string, Run>> };
};

/** A kernel with memory of its own. */
export type Assembled = {
  readonly memory: Memory;
  readonly run: Readonly<Record<string, Run>>;
};

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

/**
 * A way to make instances of a kernel, each with memory of its own; undefined where this machine
 * has no WebAssembly, none with vectors, or forbids compiling it.
 */
export function assemble(base64: string): (() => Assembled) | undefined {
  const wasm = (globalThis as { readonly WebAssembly?: WebAssemblyUsed }).WebAssembly;
  if (wasm === undefined) return undefined;
  try {
    const module = new wasm.Module(decodeBase64(base64));
    return () => {
      const memory = new wasm.Memory({ initial: 1 });
      return { memory, run: new wasm.Instance(module, { f: { m: memory } }).exports };
    };
  } catch {
    // Engines without vectors, and pages whose policy forbids it, refuse to compile.
    return undefined;
  }
}

/** Makes the memory at least so long; views of it made before must not be used after. */
export function makeRoom(memory: Memory, bytes: number): void {
  const missing = bytes - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
}

const PAGE = 65_536;
