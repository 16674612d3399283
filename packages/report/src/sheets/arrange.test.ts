import { expect, it } from 'vitest';
import { beds, longBeds, manyPlots, plots } from '../../gallery/garden';
import { arrange, onPaper } from './arrange';
import { groundOf, stretches } from './ground';
import type { Box } from './ink';

const room = { width: 190, height: 240 };
const boxesOf = (ground: ReturnType<typeof groundOf>, side = 9) => {
  const plan = arrange(ground, () => room, { side });
  const pages = plan.pages.map((pieces) =>
    pieces.flatMap((placed) =>
      placed.piece.plots.map(({ index, box }) => ({ index, box: onPaper(box, placed, plan) })),
    ),
  );
  return { plan, pages };
};
const within = ({ x, y, width, height }: Box): boolean =>
  x >= 0 && y >= 0 && x + width <= room.width + 1e-9 && y + height <= room.height + 1e-9;

it('draws plots to scale: metres times the scale', () => {
  const { plan, pages } = boxesOf(groundOf(beds, plots));
  expect(plan.pages).toHaveLength(1);
  const { scale, turned } = plan;
  for (const { box } of pages[0]) {
    // 0.9 m wide and 1 m long in 1 : scale, in millimetres.
    const sides = [900 / scale!, 1000 / scale!];
    expect(turned ? box.height : box.width).toBeCloseTo(sides[0], 9);
    expect(turned ? box.width : box.height).toBeCloseTo(sides[1], 9);
    expect(within(box)).toBe(true);
  }
});

it('keeps north up, or to the right when turned, and east right or down', () => {
  const square = [{ id: 'q', name: 'Square', width: 4, height: 4 }];
  const at = (x: number, y: number) => ({ bed: 'q', x, y, width: 1, height: 1 });
  const three = [
    { code: 'sw', place: at(0, 0) },
    { code: 'nw', place: at(0, 3) },
    { code: 'se', place: at(3, 0) },
  ];
  const placed = boxesOf(groundOf(square, three)).plan.pages[0][0];
  for (const turned of [false, true]) {
    const [sw, nw, se] = placed.piece.plots.map(({ box }) =>
      onPaper(box, placed, { perMetre: 10, turned }),
    ) as [Box, Box, Box];
    if (turned) {
      expect(nw.x).toBeGreaterThan(sw.x);
      expect(se.y).toBeGreaterThan(sw.y);
    } else {
      expect(nw.y).toBeLessThan(sw.y);
      expect(se.x).toBeGreaterThan(sw.x);
    }
  }
});

it('goes on over pages where plots would be too small, each plot once and whole', () => {
  const { plan, pages } = boxesOf(groundOf(longBeds, manyPlots));
  expect(plan.pages.length).toBeGreaterThan(1);
  expect(
    pages
      .flat()
      .map(({ index }) => index)
      .sort((a, b) => a - b),
  ).toEqual([...manyPlots.keys()]);
  for (const { box } of pages.flat()) {
    expect(within(box)).toBe(true);
    expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(9);
  }
});

it('draws plots without places as cells of their block, none over another', () => {
  const bare = manyPlots.map(({ code, block }) => ({ code, block }));
  const { plan, pages } = boxesOf(groundOf([], bare));
  expect(plan.scale).toBeUndefined();
  expect(pages.flat()).toHaveLength(63);
  for (const page of pages) {
    for (const [i, { box: a }] of page.entries()) {
      expect(within(a)).toBe(true);
      for (const { box: b } of page.slice(i + 1)) {
        const apart =
          a.x + a.width <= b.x + 1e-9 ||
          b.x + b.width <= a.x + 1e-9 ||
          a.y + a.height <= b.y + 1e-9 ||
          b.y + b.height <= a.y + 1e-9;
        expect(apart).toBe(true);
      }
    }
  }
});

it('puts beds side by side where their places in the garden overlap or are unknown', () => {
  const same = beds.map((bed) => ({ ...bed, x: 0, y: 0 }));
  expect(groundOf(same, plots).whole).toBeUndefined();
  expect(groundOf(beds, plots).whole?.area).toEqual({ x: 0, y: 0, width: 9, height: 3.2 });
});

it('cuts a bed in the middle of gaps between plots', () => {
  const [first] = groundOf(longBeds, manyPlots).pieces;
  const parts = stretches(first, 14);
  expect(parts.map(({ plots: own }) => own.length).reduce((a, b) => a + b)).toBe(21);
  // Plots begin at 0.5 + 2.1 k and are 1.5 m long: gaps lie from 2.0 + 2.1 k to 2.6 + 2.1 k.
  expect(parts[1].area.y).toBeCloseTo(2.3 + 2.1 * 5, 9);
  expect(parts.map(({ area }) => area.height).reduce((a, b) => a + b)).toBeCloseTo(45, 9);
  for (const { area } of parts) expect(area.height).toBeLessThanOrEqual(14);
});
