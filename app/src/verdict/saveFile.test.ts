import { describe, expect, it } from 'vitest';
import { fileNameOf } from './saveFile';

describe('the name of a file', () => {
  it('keeps letters and figures and nothing a disk could stumble over', () => {
    expect(fileNameOf('Chard leaf spot, 2026')).toBe('chard-leaf-spot-2026');
    expect(fileNameOf('Échalote / rouille')).toBe('echalote-rouille');
    expect(fileNameOf('../../etc')).toBe('etc');
    expect(fileNameOf('白さび')).toBe('trial');
    expect(fileNameOf('x'.repeat(200))).toHaveLength(60);
  });
});
