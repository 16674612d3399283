import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromUtf8, isUtf8, toUtf8 } from './text';

const decode = (bytes: Uint8Array): string | undefined => {
  const text = toUtf8(bytes);
  return text && fromUtf8(text.bytes);
};

describe('text of a file', () => {
  it('agrees with the platform on what is UTF-8 and what it says', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 40 }), (bytes) => {
        let platform: string | undefined;
        try {
          platform = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
        } catch {
          platform = undefined;
        }
        expect(isUtf8(bytes)).toBe(platform !== undefined);
        if (platform !== undefined) expect(fromUtf8(bytes)).toBe(platform);
      }),
      { numRuns: 2000, seed: 1 },
    );
  });

  it('reads any Unicode text back', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 60 }), (text) => {
        expect(fromUtf8(new TextEncoder().encode(text))).toBe(text);
      }),
      { numRuns: 500, seed: 2 },
    );
  });

  it('drops the mark of UTF-8 and reads marked and unmarked UTF-16 of both byte orders', () => {
    const text = 'plot;Grünkohl 🥬\n1;2';
    const little = Buffer.from(text, 'utf16le');
    const big = Buffer.from(little).swap16();
    expect(decode(Buffer.from(`\ufeff${text}`, 'utf8'))).toBe(text);
    expect(decode(Buffer.concat([Buffer.from([0xff, 0xfe]), little]))).toBe(text);
    expect(decode(Buffer.concat([Buffer.from([0xfe, 0xff]), big]))).toBe(text);
    expect(decode(Buffer.from('plot,leaves\n1,2\n', 'utf16le'))).toBe('plot,leaves\n1,2\n');
  });

  it('takes what is no UTF-8 for Windows-1252', () => {
    // The printable upper half as the WHATWG Encoding Standard lists it (from memory); the platform's
    // own decoder is no witness, for some versions of Node read Latin-1 under this name.
    const upper = '€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ';
    const unassigned = [0x81, 0x8d, 0x8f, 0x90, 0x9d];
    const codes = Array.from({ length: 32 }, (_, i) => 128 + i).filter(
      (b) => !unassigned.includes(b),
    );
    expect(decode(Uint8Array.from(codes))).toBe(upper);
    expect(decode(Uint8Array.of(71, 114, 0xfc, 110, 0xdf))).toBe('Grünß');
  });

  it('refuses bytes that are no text', () => {
    expect(toUtf8(Uint8Array.of(1, 0, 0, 7, 0, 0, 0, 9))).toBeUndefined();
  });
});
