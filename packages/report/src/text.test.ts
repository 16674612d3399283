import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { spread, textWidth, wrapText } from './text';

describe('wrapText', () => {
  it('loses no letter and keeps every line within the width', () => {
    fc.assert(
      fc.property(
        fc.string({ maxLength: 80 }),
        fc.integer({ min: 30, max: 400 }),
        (text, width) => {
          const lines = wrapText(text, width, 14);
          const bare = (s: string): string => s.replaceAll(/[ \u00a0]/g, '');
          expect(bare(lines.join(''))).toBe(bare(text));
          for (const line of lines) expect(textWidth(line, 14)).toBeLessThanOrEqual(width);
        },
      ),
      { seed: 20261125 },
    );
  });

  it('keeps a number with its unit and breaks a word only when it must', () => {
    expect(wrapText('bicarbonate 0.5 %', 90, 14)).toEqual(['bicarbonate', '0.5\u00a0%']);
    expect(wrapText('Kaliumhydrogencarbonat', 80, 14).length).toBeGreaterThan(1);
  });
});

describe('spread', () => {
  it('keeps labels apart, in order and inside where they fit', () => {
    const label = fc.record({
      at: fc.double({ min: -50, max: 350, noNaN: true }),
      size: fc.integer({ min: 1, max: 30 }),
    });
    fc.assert(
      fc.property(fc.array(label, { maxLength: 10 }), (wanted) => {
        const centres = spread(wanted, 0, 300);
        const order = wanted.map((_, i) => i).sort((a, b) => centres[a] - centres[b]);
        for (const i of order) {
          expect(centres[i] - wanted[i].size / 2).toBeGreaterThanOrEqual(-1e-9);
          expect(centres[i] + wanted[i].size / 2).toBeLessThanOrEqual(300 + 1e-9);
        }
        order.slice(1).forEach((i, k) => {
          const before = order[k];
          const room = (wanted[i].size + wanted[before].size) / 2;
          expect(centres[i] - centres[before]).toBeGreaterThanOrEqual(room - 1e-9);
          expect(wanted[i].at).toBeGreaterThanOrEqual(wanted[before].at);
        });
      }),
      { seed: 20261125 },
    );
  });

  it('leaves labels where they are wanted when nothing is in the way', () => {
    expect(
      spread(
        [
          { at: 200, size: 10 },
          { at: 40, size: 10 },
        ],
        0,
        300,
      ),
    ).toEqual([200, 40]);
  });

  it('starts at the low end when they do not fit at all', () => {
    expect(
      spread(
        [
          { at: 5, size: 20 },
          { at: 5, size: 20 },
        ],
        0,
        30,
      ),
    ).toEqual([10, 30]);
  });
});
