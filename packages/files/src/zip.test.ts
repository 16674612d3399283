import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { limits } from './limits';
import { readTable } from './readtable';
import { openZip, type Zip } from './zip';

const opened = (bytes: Uint8Array): Zip => {
  const zip = openZip(bytes);
  if (typeof zip === 'string') throw new Error(zip);
  return zip;
};
const find = (bytes: Uint8Array, signature: number[]): number =>
  bytes.findIndex((_, i) => signature.every((b, k) => bytes[i + k] === b));

describe('zips', () => {
  it('reads stored and deflated entries', () => {
    const zip = opened(
      zipSync({ 'a.txt': [strToU8('hello'), { level: 0 }], 'b.txt': strToU8('x'.repeat(1e6)) }),
    );
    expect(zip.names).toEqual(['a.txt', 'b.txt']);
    expect(zip.read('a.txt')).toEqual(strToU8('hello'));
    expect((zip.read('b.txt') as Uint8Array).length).toBe(1e6);
  });

  it('stops a bomb that declares its size and one that lies about it', () => {
    const bomb = zipSync(
      { 'xl/workbook.xml': new Uint8Array(limits.inflatedBytes + 1).fill(32) },
      { level: 1 },
    );
    expect(openZip(bomb)).toBe('zip-bomb');
    // The same with a false declared size of 10 bytes in the table of contents.
    const at = find(bomb, [0x50, 0x4b, 1, 2]);
    bomb.set([10, 0, 0, 0], at + 24);
    expect(opened(bomb).read('xl/workbook.xml')).toBe('zip-bomb');
    expect(readTable(bomb, 'bomb.xlsx').problems.map((p) => p.code)).toEqual(['zip-bomb']);
  });

  it('counts over all entries together', () => {
    const zip = opened(
      zipSync(
        { a: new Uint8Array(limits.inflatedBytes * 0.6), b: new Uint8Array(10) },
        { level: 1 },
      ),
    );
    expect(typeof zip.read('a')).toBe('object');
    expect(zip.read('a')).toBe('zip-bomb');
  });

  it('refuses names that point elsewhere, locked zips, too many parts and a damaged one', () => {
    expect(openZip(zipSync({ '../evil': strToU8('x') }))).toBe('zip-path');
    expect(openZip(zipSync({ '/etc/x': strToU8('x') }))).toBe('zip-path');
    expect(openZip(zipSync({ 'C:\\x': strToU8('x') }))).toBe('zip-path');
    const many = Object.fromEntries(
      Array.from({ length: limits.zipEntries + 1 }, (_, i) => [`f${i}`, new Uint8Array(0)]),
    );
    expect(openZip(zipSync(many))).toBe('zip-too-many');
    const locked = zipSync({ a: strToU8('x') });
    locked.set([1, 0], find(locked, [0x50, 0x4b, 1, 2]) + 8);
    expect(openZip(locked)).toBe('zip-encrypted');
    const whole = zipSync({ a: strToU8('some text that is long enough to be deflated'.repeat(9)) });
    expect(openZip(whole.subarray(0, whole.length - 30))).toBe('zip-broken');
    const bent = whole.slice();
    bent[45] ^= 0xff;
    expect(opened(bent).read('a')).toBe('zip-broken');
  });
});
