import { describe, expect, it } from 'vitest';
import { fourBeds, placedTrial, sheetTrial, squareTrial, twelveTrial } from '../gallery/trials';
import { scaleBar } from './bed-drawn';
import { bedLayout } from './bed-layout';
import { mapPlots } from './bed-plots';

const trials = { placedTrial, fourBeds, sheetTrial, squareTrial, twelveTrial };
const layoutOf = (trial: typeof placedTrial, width: number) =>
  bedLayout(trial, mapPlots(trial, undefined, false), { width, top: 30 });

describe.each(Object.entries(trials))('layout of %s', (_, trial) => {
  it.each([320, 358, 900])('keeps all plots on a sheet of %d, none on another', (width) => {
    const { plots, bottom } = layoutOf(trial, width);
    expect(plots).toHaveLength(trial.plots.length);
    plots.forEach(({ box }, i) => {
      expect(box.x).toBeGreaterThanOrEqual(0);
      expect(box.x + box.width).toBeLessThanOrEqual(width);
      expect(box.y + box.height).toBeLessThanOrEqual(bottom);
      for (const { box: other } of plots.slice(i + 1)) {
        const apart =
          box.x + box.width <= other.x + 1e-6 ||
          other.x + other.width <= box.x + 1e-6 ||
          box.y + box.height <= other.y + 1e-6 ||
          other.y + other.height <= box.y + 1e-6;
        expect(apart).toBe(true);
      }
    });
  });
});

describe('a map to scale', () => {
  it('has one scale for all lengths, north up', () => {
    const { plots, perMetre = 0, beds } = layoutOf(fourBeds, 900);
    const first = plots[0];
    expect(first.box.width / perMetre).toBeCloseTo(1, 10);
    expect(first.box.height / perMetre).toBeCloseTo(0.9, 10);
    expect(beds[0].height / perMetre).toBeCloseTo(5.2, 10);
    // The first plot of the block lies at the south end of its bed: lowest on the sheet.
    expect(first.box.y).toBe(Math.max(...plots.slice(0, 5).map((p) => p.box.y)));
  });

  it('turns by a quarter where a phone would make plots too small for a thumb', () => {
    const phone = layoutOf(placedTrial, 358);
    expect(phone.turned).toBe(true);
    expect(Math.min(...phone.plots.flatMap((p) => [p.box.width, p.box.height]))).toBeGreaterThan(
      44,
    );
    // East runs down now: the second plot stands below the first.
    expect(phone.plots[1].box.y).toBeGreaterThan(phone.plots[0].box.y);
    expect(layoutOf(placedTrial, 900).turned).toBe(false);
  });

  it('has a scale bar of a round length', () => {
    expect(scaleBar(60)).toEqual({ metres: 1, pixels: 60 });
    expect(scaleBar(9)).toEqual({ metres: 5, pixels: 45 });
  });
});

describe('a schematic map', () => {
  it('puts rows and columns where the sheet has them', () => {
    const { plots, grid } = layoutOf(squareTrial, 358);
    expect(grid).toBe(true);
    const [first, , , , , last] = plots;
    expect(first.box.y).toBe(last.box.y);
    expect(plots[6].box.x).toBe(first.box.x);
  });

  it('is used as soon as one plot has no place', () => {
    const [, ...others] = placedTrial.plots;
    const bare = { id: 'B1-1', treatment: 't0' };
    expect(layoutOf({ ...placedTrial, plots: [bare, ...others] }, 358).kind).toBe('schematic');
  });
});

describe('a sheet of little height', () => {
  const low = (trial: typeof placedTrial, width: number, bottom: number) =>
    bedLayout(trial, mapPlots(trial, undefined, false), { width, top: 30, bottom });
  const sides = ({ plots }: ReturnType<typeof bedLayout>) =>
    plots.flatMap(({ box }) => [box.width, box.height]);

  it('is kept to where plots still have the room of a thumb', () => {
    const free = layoutOf(fourBeds, 900);
    const held = low(fourBeds, 900, 360);
    expect(free.bottom).toBeGreaterThan(360);
    expect(held.bottom).toBeLessThanOrEqual(360 + 1e-6);
    // Still to scale, in both directions.
    const [a, b] = [free.plots[0].box, held.plots[0].box];
    expect(b.width / b.height).toBeCloseTo(a.width / a.height, 10);
  });

  it('is exceeded rather than plots made too small to hit', () => {
    const { plots } = low(fourBeds, 900, 60);
    const middle = ({ box }: (typeof plots)[number]) => [
      box.x + box.width / 2,
      box.y + box.height / 2,
    ];
    const apart = plots.flatMap((a, i) =>
      plots.slice(i + 1).map((b) => {
        const [[ax = 0, ay = 0], [bx = 0, by = 0]] = [middle(a), middle(b)];
        return Math.max(Math.abs(ax - bx), Math.abs(ay - by));
      }),
    );
    expect(Math.min(...apart)).toBeGreaterThanOrEqual(44 - 1e-6);
    expect(Math.min(...sides(low(fourBeds, 900, 60)))).toBeGreaterThanOrEqual(32 - 1e-6);
    expect(Math.min(...sides(low(sheetTrial, 358, 60)))).toBeGreaterThanOrEqual(44 - 1e-6);
    expect(low(sheetTrial, 358, 60).bottom).toBeLessThan(layoutOf(sheetTrial, 358).bottom);
  });

  it('changes nothing of a plan that is low enough', () => {
    expect(low(squareTrial, 358, 5000)).toEqual(layoutOf(squareTrial, 358));
  });
});
