import { renderToStaticMarkup } from 'react-dom/server';
import { expect, it } from 'vitest';
import { coveredPercent } from './pustules';
import { SeverityLeafPicture, severityLeaf, severityLeaves, severitySteps } from './severity-leaf';

const markupOf = (percent: number): string =>
  renderToStaticMarkup(<SeverityLeafPicture percent={percent} width={100} />);

/**
 * Share of the blade under pustules, measured on the drawing itself: its path and circles painted
 * into dots ten to a unit, and the dots counted. Knows nothing of how the leaf was made.
 */
function measured(markup: string): number {
  const per = 10;
  const [width, height] = [100 * per, 140 * per];
  const path = /<path d="M([^"]+)Z" fill="[^"]+" data-part="blade"/.exec(markup)![1];
  const points = path.split('L').map((pair) => pair.split(' ').map(Number) as [number, number]);
  const blade = new Uint8Array(width * height);
  for (let row = 0; row < height; row++) {
    const y = (row + 0.5) / per;
    const crossings: number[] = [];
    points.forEach(([x1, y1], i) => {
      const [x2, y2] = points[(i + 1) % points.length];
      if (y1 > y !== y2 > y) crossings.push(x1 + ((y - y1) * (x2 - x1)) / (y2 - y1));
    });
    crossings.sort((a, b) => a - b);
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      const from = Math.ceil(crossings[i] * per - 0.5);
      const to = Math.ceil(crossings[i + 1] * per - 0.5);
      blade.fill(1, row * width + from, row * width + to);
    }
  }
  const group = /data-part="pustules">(.*?)<\/g>/s.exec(markup)![1];
  const whole = blade.reduce((sum, dot) => sum + dot, 0);
  for (const found of group.matchAll(/cx="([^"]+)" cy="([^"]+)" r="([^"]+)"/g)) {
    const [cx, cy, r] = found.slice(1).map((text) => Number(text) * per) as [
      number,
      number,
      number,
    ];
    for (let row = Math.max(0, Math.floor(cy - r)); row <= Math.min(height - 1, cy + r); row++) {
      for (
        let column = Math.max(0, Math.floor(cx - r));
        column <= Math.min(width - 1, cx + r);
        column++
      ) {
        const isIn = (column + 0.5 - cx) ** 2 + (row + 0.5 - cy) ** 2 <= r ** 2;
        if (isIn && blade[row * width + column] === 1) blade[row * width + column] = 2;
      }
    }
  }
  return (100 * blade.reduce((sum, dot) => sum + (dot === 2 ? 1 : 0), 0)) / whole;
}

/** Half a percentage point is what the pictures promise; the drawing is held to a tenth. */
const promised = 0.1;

it.each([...severitySteps])('shows pustules on %s % of the leaf', (percent) => {
  expect(Math.abs(measured(markupOf(percent)) - percent)).toBeLessThan(promised);
});

it('shows any other percent as well', () => {
  for (const percent of [0.5, 7, 27, 63, 90, 99]) {
    expect(Math.abs(measured(markupOf(percent)) - percent)).toBeLessThan(promised);
    expect(coveredPercent(severityLeaf(percent).pustules)).toBeCloseTo(percent, 1);
  }
});

it('offers nine steps, each with a text alternative of its own', () => {
  const leaves = severityLeaves();
  expect(leaves.map(({ percent }) => percent)).toEqual([0, 1, 3, 5, 10, 20, 35, 50, 75]);
  expect(new Set(leaves.map(({ alt }) => alt)).size).toBe(9);
  expect(leaves[0].alt).toBe('Leaf without pustules');
  expect(leaves[0].pustules).toEqual([]);
  expect(markupOf(10)).toContain(
    'role="img" aria-label="Leaf with white pustules on 10\u00a0% of its area"',
  );
});

it('shows several pustules even at one percent, and keeps them as severity grows', () => {
  const leaves = severityLeaves();
  expect(leaves[1].pustules.length).toBeGreaterThanOrEqual(4);
  for (const [i, leaf] of leaves.entries()) {
    const before = i === 0 ? [] : leaves[i - 1].pustules;
    before.forEach((pustule, k) => {
      expect(leaf.pustules[k]).toMatchObject({ x: pustule.x, y: pustule.y });
      expect(leaf.pustules[k].r).toBeGreaterThanOrEqual(pustule.r);
    });
  }
});

it('draws the same leaf every time', () => {
  expect(markupOf(35)).toBe(markupOf(35));
  // The first pustule as first drawn: a change of generator or shape is seen here.
  const { x, y } = severityLeaf(1).pustules[0];
  expect([x, y].map((value) => Math.round(value * 100) / 100)).toMatchInlineSnapshot(`
    [
      27.44,
      87.97,
    ]
  `);
});

it('is silent where the choice beside it says the percent', () => {
  const markup = renderToStaticMarkup(<SeverityLeafPicture percent={10} width={80} isDecoration />);
  expect(markup).toContain('aria-hidden="true"');
  expect(markup).not.toContain('role="img"');
});

it('keeps to what can be drawn', () => {
  expect(severityLeaf(-3).percent).toBe(0);
  expect(severityLeaf(120).percent).toBe(99);
});
