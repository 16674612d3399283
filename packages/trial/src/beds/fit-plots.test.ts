import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Cell, fitPlots } from './fit-plots';
import type { FitRequest } from './fit-request';
import type { BedPlan, Rect } from './rect';

const bed = (id: string, x: number, y: number, width: number, height: number): BedPlan => ({
  id,
  name: id.toUpperCase(),
  x,
  y,
  width,
  height,
});

const base: FitRequest = {
  beds: [bed('a', 0, 0, 1.2, 12), bed('b', 1.8, 0, 1.2, 12)],
  plot: { width: 1, length: 1.5 },
  buffer: 0.3,
  edge: 0.1,
  blocks: 3,
  perBlock: 4,
};

/** Widest way between two rectangles along either axis; written apart from the code under test. */
const way = (a: Rect, b: Rect): number =>
  Math.max(a.x - b.x - b.width, b.x - a.x - a.width, a.y - b.y - b.height, b.y - a.y - a.height);

const inTheGarden = (cell: Cell, beds: readonly BedPlan[]): Rect => {
  const own = beds.find((b) => b.id === cell.bed);
  if (!own) throw new Error(`no bed ${cell.bed}`);
  return { ...cell, x: cell.x + own.x, y: cell.y + own.y };
};

/** Metres lost to rounding: cells are given in whole micrometres. */
const rounding = 2e-4;

function expectSound(request: FitRequest, cells: readonly Cell[]) {
  const { beds, buffer, edge, blocks, perBlock, plot } = request;
  expect(cells).toHaveLength(blocks * perBlock);
  const rects = cells.map((cell) => inTheGarden(cell, beds));
  cells.forEach((cell, i) => {
    const own = beds.find((b) => b.id === cell.bed) ?? beds[0];
    const sides = [cell.width, cell.height].sort();
    expect(sides).toEqual([plot.width, plot.length].sort());
    expect(cell.x).toBeGreaterThanOrEqual(edge - rounding);
    expect(cell.y).toBeGreaterThanOrEqual(edge - rounding);
    expect(cell.x + cell.width).toBeLessThanOrEqual(own.width - edge + rounding);
    expect(cell.y + cell.height).toBeLessThanOrEqual(own.height - edge + rounding);
    for (const blocked of own.blocked ?? []) {
      expect(way(cell, blocked)).toBeGreaterThanOrEqual(edge - rounding);
    }
    for (const other of rects.slice(i + 1)) {
      expect(way(rects[i], other)).toBeGreaterThanOrEqual(buffer - rounding);
    }
  });
  for (let block = 1; block <= blocks; block++) {
    const own = rects.filter((_, i) => cells[i].block === block);
    expect(own).toHaveLength(perBlock);
    expect(isInOnePiece(own, Math.max(plot.width, plot.length, buffer))).toBe(true);
  }
}

/** Can every plot be reached from the first by steps of no more than `reach` metres? */
function isInOnePiece(rects: readonly Rect[], reach: number): boolean {
  const seen = new Set([0]);
  for (const i of seen) {
    rects.forEach((rect, k) => {
      if (way(rect, rects[i]) <= reach + rounding) seen.add(k);
    });
  }
  return seen.size === rects.length;
}

const cm = (from: number, to: number) => fc.integer({ min: from, max: to }).map((n) => n / 100);

/** Beds in a row or a column with paths between, each with up to two pieces of blocked ground. */
const gardens = fc
  .record({
    beds: fc.array(
      fc.record({
        width: cm(80, 600),
        height: cm(80, 1500),
        path: cm(0, 150),
        blocked: fc.array(
          fc.record({
            x: fc.double({ min: 0, max: 0.9, noNaN: true }),
            y: fc.double({ min: 0, max: 0.9, noNaN: true }),
            width: cm(20, 200),
            height: cm(20, 200),
          }),
          { maxLength: 2 },
        ),
      }),
      { minLength: 1, maxLength: 4 },
    ),
    isRow: fc.boolean(),
  })
  .map(({ beds, isRow }) => {
    let at = 0;
    return beds.map(({ width, height, path, blocked }, i): BedPlan => {
      const from = at;
      at += (isRow ? width : height) + path;
      return {
        ...bed(`bed${i}`, isRow ? from : 0, isRow ? 0 : from, width, height),
        blocked: blocked.map((b, k) => ({
          x: Math.round(b.x * width * 100) / 100,
          y: Math.round(b.y * height * 100) / 100,
          width: b.width,
          height: b.height,
          why: k === 0 ? 'path' : 'unusable',
        })),
      };
    });
  });

const requests = fc.record({
  beds: gardens,
  plot: fc.record({ width: cm(30, 200), length: cm(30, 300) }),
  buffer: cm(0, 80),
  edge: cm(0, 50),
  blocks: fc.integer({ min: 1, max: 6 }),
  perBlock: fc.integer({ min: 1, max: 6 }),
  along: fc.constantFrom(undefined, 'east' as const, 'north' as const),
});

describe('any garden', () => {
  const runs = { numRuns: 400, seed: 3 };

  it('gets a layout that keeps every distance, or a problem in words', () => {
    let [fitted, refused] = [0, 0];
    fc.assert(
      fc.property(requests, (request) => {
        const fit = fitPlots(request);
        expect(fitPlots(structuredClone(request))).toEqual(fit);
        if (fit.ok) {
          fitted += 1;
          expectSound(request, fit.cells);
        } else {
          refused += 1;
          expect(fit.problem.what).toMatch(/^The beds /);
        }
      }),
      runs,
    );
    // Neither road is the only one taken.
    expect(Math.min(fitted, refused)).toBeGreaterThan(50);
  });

  it('gets a Latin square whose rows and columns are straight', () => {
    let fitted = 0;
    fc.assert(
      fc.property(requests, fc.integer({ min: 2, max: 5 }), (asked, order) => {
        const request = { ...asked, latin: true, blocks: order, perBlock: order };
        const fit = fitPlots(request);
        if (!fit.ok) return;
        fitted += 1;
        expectSound(request, fit.cells);
        const rects = fit.cells.map((cell) => inTheGarden(cell, request.beds));
        rects.forEach((rect, i) => {
          expect(rect.y).toBeCloseTo(rects[i - (i % order)].y, 3);
          expect(rect.x).toBeCloseTo(rects[i % order].x, 3);
          if (i % order > 0) expect(rect.x).toBeGreaterThan(rects[i - 1].x);
          if (i >= order) expect(rect.y).toBeGreaterThan(rects[i - order].y);
        });
      }),
      runs,
    );
    expect(fitted).toBeGreaterThan(50);
  });

  it('gets only remedies that do', () => {
    fc.assert(
      fc.property(requests, (request) => {
        const fit = fitPlots(request);
        if (fit.ok) return;
        const { do: words } = fit.problem;
        const has = (pattern: RegExp): (number | undefined)[] =>
          pattern.exec(words)?.slice(1).map(Number) ?? [];
        const [width, length] = has(/plots of ([\d.]+) m x ([\d.]+) m/);
        const [buffer] = has(/with ([\d.]+) m between/);
        const [edge] = has(/guard strip of ([\d.]+) m/);
        const [blocks] = has(/(\d+) blocks of/);
        const tries = [
          width && length ? { plot: { width, length } } : undefined,
          buffer === undefined ? undefined : { buffer },
          edge === undefined ? undefined : { edge },
          blocks === undefined ? undefined : { blocks },
        ].filter((change) => change !== undefined);
        if (tries.length === 0) expect(words).toMatch(/^Draw more ground/);
        for (const change of tries) expect(fitPlots({ ...request, ...change }).ok).toBe(true);
      }),
      { numRuns: 100, seed: 5 },
    );
  });
});

const cellsOf = (request: FitRequest) => {
  const fit = fitPlots(request);
  if (!fit.ok) throw new Error(fit.problem.what);
  return fit.cells;
};

describe('blocks', () => {
  it('follow one another the way the ground differs, across narrow beds', () => {
    const cells = cellsOf({ ...base, blocks: 6, perBlock: 2, along: 'north' });
    // Each block has one plot in either bed, and the next lies further north.
    for (let block = 1; block <= 6; block++) {
      const own = cells.filter((cell) => cell.block === block);
      expect(own.map((cell) => cell.bed).sort()).toEqual(['a', 'b']);
      expect(own[0].y).toBe(own[1].y);
      if (block > 1) expect(own[0].y).toBeGreaterThan(cells[2 * (block - 2)].y);
    }
  });

  it('keep to one bed where it differs from bed to bed', () => {
    const cells = cellsOf({ ...base, blocks: 2, perBlock: 6, along: 'east' });
    expect(cells.map((cell) => cell.bed).join('')).toBe('aaaaaabbbbbb');
  });

  it('do not step over a path where they need not', () => {
    const cells = cellsOf({ ...base, blocks: 2, perBlock: 4 });
    for (const block of [1, 2]) {
      expect(new Set(cells.filter((c) => c.block === block).map((c) => c.bed)).size).toBe(1);
    }
  });

  it('have as many plots as a plain bed holds', () => {
    // 12 m less 2 x 0.1 m of guard strip: (11.8 + 0.3) / (1.5 + 0.3) = 6.7, six plots in each bed.
    expect(fitPlots({ ...base, blocks: 12, perBlock: 1 }).ok).toBe(true);
    expect(fitPlots({ ...base, blocks: 13, perBlock: 1 }).ok).toBe(false);
    // A square of 3 m holds 3 x 3 plots of 1 m without any gap, not one more.
    const square = {
      ...base,
      beds: [bed('s', 0, 0, 3, 3)],
      plot: { width: 1, length: 1 },
      buffer: 0,
      edge: 0,
    };
    expect(fitPlots({ ...square, blocks: 3, perBlock: 3 }).ok).toBe(true);
    expect(fitPlots({ ...square, blocks: 10, perBlock: 1 }).ok).toBe(false);
  });

  it('leave out an unusable corner and a path, and use what is round them', () => {
    const corner = { x: 0, y: 0, width: 1, height: 1, why: 'unusable' as const };
    const square = { ...bed('s', 0, 0, 3, 3), blocked: [corner] };
    const request = { ...base, beds: [square], plot: { width: 1, length: 1 }, buffer: 0, edge: 0 };
    expect(fitPlots({ ...request, blocks: 8, perBlock: 1 }).ok).toBe(true);
    expect(fitPlots({ ...request, blocks: 9, perBlock: 1 }).ok).toBe(false);
  });
});

describe('a Latin square', () => {
  it('may use narrow beds side by side as its columns', () => {
    const beds = [0, 1, 2, 3].map((i) => bed(`b${i}`, i * 1.6, 0, 1.2, 9));
    const cells = cellsOf({ ...base, beds, latin: true, blocks: 4, perBlock: 4 });
    expect(cells.slice(0, 4).map((cell) => cell.bed)).toEqual(['b0', 'b1', 'b2', 'b3']);
  });

  it('is refused where no grid fits, whatever the number of plots', () => {
    const fit = fitPlots({
      ...base,
      beds: [bed('a', 0, 0, 1.2, 40)],
      latin: true,
      blocks: 3,
      perBlock: 3,
    });
    expect(fit).toMatchObject({ ok: false, problem: { code: 'plots-do-not-fit' } });
    expect(!fit.ok && fit.problem.what).toContain('but no grid of 3 x 3');
  });
});

describe('what cannot be', () => {
  // Eight plots a bed need (11.8 m + 0.3 m) / 8 - 0.3 m = 1.21 m each; without any buffer seven fit.
  it('is said in words, with how many fit and what would do', () => {
    const fit = fitPlots({ ...base, blocks: 4 });
    expect(fit).toEqual({
      ok: false,
      problem: {
        kind: 'fault',
        code: 'plots-do-not-fit',
        what: 'The beds hold 12 plots of 1 m x 1.5 m with 0.3 m between them; 4 blocks of 4 need 16.',
        do: 'It would fit with plots of 1 m x 1.2 m, or with 3 blocks of 4.',
      },
    });
  });

  it.each([
    ['no-beds', { beds: [] }],
    ['beds-overlap', { beds: [bed('a', 0, 0, 2, 2), bed('b', 1, 1, 2, 2)] }],
    ['bed-twice', { beds: [bed('a', 0, 0, 2, 2), bed('a', 5, 0, 2, 2)] }],
    ['bed-size', { beds: [bed('a', 0, 0, Number.NaN, 2)] }],
    ['plot-size', { plot: { width: 0, length: 1 } }],
    ['gap-size', { buffer: -1 }],
    ['block-count', { blocks: 1.5 }],
    ['latin-not-square', { latin: true }],
    ['too-many-plots', { blocks: 1000 }],
  ])('%s is a fault of its own', (code, change) => {
    expect(fitPlots({ ...base, ...change })).toMatchObject({ ok: false, problem: { code } });
  });
});
