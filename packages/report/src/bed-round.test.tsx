import type { ReactElement } from 'react';
import { describe, expect, it } from 'vitest';
import { rounds } from '../gallery/bed-round.gallery';
import { barePlan, farApart, plan, planned, plants, touching, walk } from '../gallery/planned';
import { five, styles } from '../gallery/trials';
import { bedLayout } from './bed-layout';
import { mapPlots } from './bed-plots';
import { BedMap, describeBed, type MapTrial, renderSvg } from './index';

const layoutOf = (trial: MapTrial, width: number, target?: number) =>
  bedLayout(trial, mapPlots(trial, undefined, true), { width, top: 30, target });

const draw = (chart: ReactElement): string => renderSvg(chart);

describe('beds in the garden', () => {
  it('lie where they lie: one scale within beds and between them', () => {
    const { beds, plots, perMetre = 0, turned, drawnTogether } = layoutOf(planned, 900);
    expect({ turned, drawnTogether }).toEqual({ turned: false, drawnTogether: undefined });
    planned.beds.forEach((bed, i) => {
      planned.beds.forEach((other, k) => {
        expect((beds[i].x - beds[k].x) / perMetre).toBeCloseTo((bed.x ?? 0) - (other.x ?? 0), 9);
      });
      // North is up: the south edge of every bed by its place.
      const south = beds[i].y + beds[i].height;
      expect((beds[0].y + beds[0].height - south) / perMetre).toBeCloseTo(bed.y ?? 0, 9);
    });
    const [{ plot, box }] = plots;
    expect(box.width / perMetre).toBeCloseTo(plot.source.place?.width ?? 0, 9);
  });

  it('show what is blocked, no further than the bed', () => {
    const { blocked, perMetre = 0 } = layoutOf(planned, 900);
    expect(blocked.map(({ why }) => why)).toEqual(['path', 'unusable']);
    expect(blocked[0].height / perMetre).toBeCloseTo(0.4, 9);
    const wide = structuredClone(barePlan);
    wide.beds[0].blocked = [{ x: -5, y: 7, width: 20, height: 5, why: 'unusable' }];
    const held = layoutOf(wide, 900);
    expect(held.blocked[0].width).toBeCloseTo(held.beds[0].width, 9);
  });

  it('are drawn before there is any plot', () => {
    const { kind, beds, plots } = layoutOf(barePlan, 358);
    expect({ kind, beds: beds.length, plots: plots.length }).toEqual({
      kind: 'to-scale',
      beds: 3,
      plots: 0,
    });
  });

  it.each([320, 358, 900])('keep names apart and on a sheet of %d', (width) => {
    for (const trial of [planned, touching, farApart]) {
      const { labels, bottom, plots } = layoutOf(trial, width);
      expect(new Set(labels.map(({ x, y }) => `${x} ${y}`)).size).toBe(3);
      for (const label of labels) expect(label.y).toBeLessThan(bottom);
      for (const { box } of plots) expect(box.x + box.width).toBeLessThanOrEqual(width);
    }
  });

  it('put a letter where a name has no room, and explain it', () => {
    const long = 'The bed behind the old potting shed by the water butt and the compost';
    const named: MapTrial = {
      ...touching,
      beds: touching.beds.map((bed) => ({ ...bed, name: `${long} ${bed.id}` })),
    };
    const svg = draw(<BedMap trial={named} width={358} styles={styles} codesOnly />);
    expect(layoutOf(named, 358).labels.map(({ text }) => text)).toEqual(['A', 'B', 'C']);
    expect(svg).toContain('A: The bed behind');
  });

  it('are drawn together, and said to be, where they lie too far apart', () => {
    const { drawnTogether, bottom } = layoutOf(farApart, 358);
    expect(drawnTogether).toBe(true);
    expect(bottom).toBeLessThan(1000);
    expect(draw(rounds['garden-far'](358))).toContain('drawn nearer to each other');
  });
});

describe('a round on the map', () => {
  it('tells plots in the order of the walk, with their plants', () => {
    const text = describeBed(planned, undefined, true, { plants, walk });
    const stops = [...text.matchAll(/stop\u00a0(\d+)/g)].map(([, stop]) => Number(stop));
    expect(stops).toEqual(Array.from({ length: 25 }, (_, i) => i + 1));
    expect(text).toContain('plot K7, block\u00a01, stop\u00a01: 9 of 9 plants scored.');
    expect(text).toContain('stop\u00a09: 2 of 9 plants scored, 1 skipped.');
    expect(text).toContain('stop\u00a04: 8 of 9 plants scored, 1 lost.');
    expect(text).toContain('Long bed: 3 by 8\u00a0m, 1 path, 1 unusable part.');
  });

  it.each(Object.keys(rounds).filter((name) => name !== 'garden-treatments'))(
    '%s shows no treatment',
    (name) => {
      for (const [key, chart] of Object.entries(rounds)) {
        if (key !== name) continue;
        const svg = draw(chart(358));
        for (const treatment of five) expect(svg).not.toContain(treatment);
        expect(svg).not.toMatch(/NaN|undefined|Infinity/);
        for (const mark of ['#e69f00', '#56b4e9', '#009e73', '#0072b2', '#d55e00', '#cc79a7']) {
          expect(svg).not.toContain(mark);
        }
      }
    },
  );

  it('fills a dot for every plant that was scored', () => {
    const dotsIn = (state: string): number => {
      const own = new Map(
        planned.plots.map(({ id }) => [
          id,
          [{ state: state === 'scored' ? 'scored' : 'due' } as const],
        ]),
      );
      const svg = draw(
        <BedMap trial={planned} width={900} styles={styles} codesOnly plants={own} />,
      );
      return svg.match(/<path d="M[^"]*a6\.5[^"]*" fill="#2b2a26"/g)?.length ?? 0;
    };
    expect(dotsIn('scored')).toBe(planned.plots.length);
    expect(dotsIn('due')).toBe(0);
  });

  it('counts where dots would be too small', () => {
    const many = Array.from(
      { length: 400 },
      (_, i) => ({ state: i < 30 ? 'scored' : 'due' }) as const,
    );
    const crowded = new Map(planned.plots.map(({ id }) => [id, many]));
    const svg = draw(
      <BedMap trial={planned} width={358} styles={styles} codesOnly plants={crowded} />,
    );
    expect(svg).toContain('30/400');
  });

  it('keeps every plot a button with its own ground, none over another', () => {
    const svg = draw(rounds['garden-walk-round'](358));
    const hits = [
      ...svg.matchAll(
        /<rect role="button"[^>]*x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)"/g,
      ),
    ];
    const boxes = hits.map(([, ...sides]) => sides.map(Number));
    expect(boxes).toHaveLength(25);
    boxes.forEach(([x, y, width, height], i) => {
      for (const [ox, oy, ow, oh] of boxes.slice(i + 1)) {
        const apart = Math.max(ox - x - width, x - ox - ow, oy - y - height, y - oy - oh);
        expect(apart).toBeGreaterThanOrEqual(-0.02);
      }
    });
  });

  it('gives a plot the side of a thumb in the garden where the sheet has the room', () => {
    const svg = draw(
      <BedMap
        trial={planned}
        width={900}
        styles={styles}
        codesOnly
        target={56}
        onPick={() => undefined}
      />,
    );
    const sides = [...svg.matchAll(/<rect role="button"[^>]*width="([\d.]+)" height="([\d.]+)"/g)];
    for (const [, width, height] of sides) {
      expect(Math.min(Number(width), Number(height))).toBeGreaterThanOrEqual(56);
    }
  });
});

describe('a plan before the draw', () => {
  it('has plots by number with their blocks, and no treatment', () => {
    expect(plan.treatments).toEqual([]);
    expect(describeBed(plan, undefined, true)).toContain('plot 1, block\u00a01.');
    const svg = draw(rounds['garden-plan'](900));
    expect(svg).toContain('A line goes round each block.');
  });
});
