import { layoutsOf, type Plot } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { layoutTest } from './layout-test';
import type { PlotTable } from './table';

/** 2 practices x 2 in so many blocks; names tell the practice and what is within it. */
const splitPlot = (blocks: number) => {
  const names = ['Drip, soap', 'Drip, plain', 'Hose, plain', 'Hose, soap'];
  const plots = Array.from({ length: 4 * blocks }, (_, p): Plot => {
    const whole = Math.floor(p / 2);
    const turned = whole % 4 > 1 ? 1 - (p % 2) : p % 2;
    return {
      id: `p${p}`,
      treatment: `t${2 * (whole % 2) + turned}`,
      block: `b${Math.floor(p / 4)}`,
      wholePlot: `w${whole}`,
    };
  });
  const treatments = names.map((_, i) => ({ id: `t${i}` }));
  const layouts = layoutsOf({ design: { kind: 'split-plot' }, treatments, plots });
  if (layouts === undefined) throw new Error('a split plot has layouts');
  const block = { levels: [], codes: Int32Array.from(plots, (_, p) => Math.floor(p / 4)) };
  const table: PlotTable = {
    plots: plots.map(({ id }) => id),
    treatment: { levels: names, codes: Int32Array.from(layouts.labels) },
    block,
    row: undefined,
    column: undefined,
    wholePlot: { levels: [], codes: Int32Array.from(plots, (_, p) => Math.floor(p / 2)) },
    control: 1,
  };
  return { table, layouts: layouts.set, adjust: [block.codes], seed: 1, codes: layouts.labels };
};

describe('the layout’s own test of a split plot', () => {
  const { codes, ...input } = splitPlot(4);
  const noise = (p: number): number => Math.sin(12.9898 * (p + 1)) * 2;
  const test = (effect: (code: number) => number) => {
    const found = layoutTest({
      ...input,
      values: Array.from(codes, (c, p) => effect(c) + noise(p)),
    });
    if (!found.tested) throw new Error(found.why);
    return found;
  };

  it('finds the practice in whole plots, as far as four blocks go', () => {
    const { result } = test((code) => (code < 2 ? 0 : 60));
    expect(result.strata?.practice).toEqual({
      p: 0.125,
      smallestP: 0.125,
      layouts: '16',
      enumerated: true,
    });
    expect(result.strata?.within?.p).toBeGreaterThan(0.05);
    expect(result.strata?.interaction?.p).toBeGreaterThan(0.125);
  });

  it('finds the treatment within, among the 256 orders within whole plots', () => {
    const { result, smallestP } = test((code) => (code === 0 || code === 3 ? 30 : 0));
    expect(result.strata?.within).toEqual({
      p: 2 / 256,
      smallestP: 2 / 256,
      layouts: '256',
      enumerated: true,
    });
    // 8 renamings of (2! 2!^2)^4 layouts.
    expect(smallestP).toBe(8 / 4096);
    const step = Object.fromEntries(
      result.versusControl.map(({ name, pStepDown }) => [name, pStepDown ?? 1]),
    );
    // Every whole plot has one high and one low plot: four agree by chance in 2 of 16 draws.
    expect(step['Drip, soap']).toBeLessThanOrEqual(2 / 16);
    expect(step['Hose, plain']).toBeGreaterThan(0.5);
  });

  it('finds a treatment that works under one practice only', () => {
    const { result } = test((code) => (code === 3 ? 90 : 0));
    expect(result.strata?.interaction?.p).toBe(0.125);
  });
});
