import { describe, expect, it } from 'vitest';
import { fourBeds, placedTrial, sheetTrial, squareTrial, twelveTrial } from '../gallery/trials';
import { bedLayout, scaleBar } from './bed-layout';
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
