import { expect, it } from 'vitest';
import { treatmentStyles } from '../marks';
import type { Mark } from './ink';
import { hatch, symbol } from './symbol';

const box = { x: 10, y: 20, width: 16, height: 9 };
const outline = (marks: readonly Mark[]): string =>
  JSON.stringify(
    marks.map((mark) =>
      mark.kind === 'path' ? { rings: mark.rings, dark: mark.fill !== 1 } : mark,
    ),
  );

it('tells nine treatments apart without colour, by mark and by hatching', () => {
  const names = Array.from({ length: 9 }, (_, i) => `t${i}`);
  const styles = treatmentStyles(names, 't0');
  const marks = names.map((name) => outline(symbol(styles.get(name)!, [0, 0], 5)));
  expect(new Set(marks).size).toBe(9);
  const hatches = Array.from({ length: 12 }, (_, i) => JSON.stringify(hatch(box, i)));
  expect(new Set(hatches).size).toBe(12);
});

it('hatches within the plot only', () => {
  for (let place = 0; place < 12; place++) {
    const lines = hatch(box, place);
    expect(lines.length).toBeGreaterThan(3);
    for (const mark of lines) {
      if (mark.kind !== 'path') throw new Error('hatching is made of lines');
      for (const [x, y] of mark.rings.flat()) {
        expect(x).toBeGreaterThanOrEqual(10 - 1e-9);
        expect(x).toBeLessThanOrEqual(26 + 1e-9);
        expect(y).toBeGreaterThanOrEqual(20 - 1e-9);
        expect(y).toBeLessThanOrEqual(29 + 1e-9);
      }
    }
  }
});
