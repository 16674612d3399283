import { describe, expect, it } from 'vitest';
import { fitPlots } from './fit-plots';
import { largestPlot } from './largest-plot';

const bed = { id: 'a', name: 'A', x: 0, y: 0, width: 3, height: 9 };
const ask = { beds: [bed], buffer: 0, edge: 0, blocks: 3, perBlock: 3 };

describe('the largest plot', () => {
  it('fills a plain bed', () => {
    // 27 m2 for nine plots: nothing above 3 m2 each can fit.
    expect(largestPlot(ask)).toEqual({ width: 3, length: 1 });
  });

  it('is smaller by buffers and strips, and fits', () => {
    const wide = { ...ask, buffer: 0.5, edge: 0.25 };
    const plot = largestPlot(wide);
    expect(plot).toBeDefined();
    if (!plot) return;
    expect(fitPlots({ ...wide, plot }).ok).toBe(true);
    const longer = { ...plot, length: plot.length + 0.05 };
    const wider = { ...plot, width: plot.width + 0.05 };
    expect(fitPlots({ ...wide, plot: longer }).ok).toBe(false);
    expect(fitPlots({ ...wide, plot: wider }).ok).toBe(false);
  });

  it('is found for a Latin square and beside blocked ground', () => {
    const latin = { ...ask, latin: true };
    expect(largestPlot(latin)).toEqual({ width: 1, length: 3 });
    const blocked = [{ x: 0, y: 0, width: 3, height: 3, why: 'unusable' as const }];
    expect(largestPlot({ ...ask, beds: [{ ...bed, blocked }] })).toEqual({ width: 1, length: 2 });
  });

  it('is none where there is no room or no sense in the request', () => {
    expect(largestPlot({ ...ask, buffer: 4 })).toBeUndefined();
    expect(largestPlot({ ...ask, beds: [] })).toBeUndefined();
  });
});
