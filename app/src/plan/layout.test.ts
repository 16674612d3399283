import { readDay } from '@fairbed/field';
import { type PlanValues, recordKinds } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { adviceFor } from './advice';
import { isDrawnFor } from './drawnFor';
import { asJson } from './json';
import { drawFor, perBlockOf, placesOf, requestOf } from './layout';
import { usualGuess } from './guess';
import { type MorePlan, nextId, readMore } from './values';

const ids = ['t1', 't2', 't3', 't4'];
const treatments: NonNullable<PlanValues['treatments']> = ids.map((id) => ({
  id,
  name: id,
  kind: 'unstated',
}));
const plan: PlanValues = {
  treatments,
  control: 't1',
  design: { kind: 'randomised-blocks', blocks: 4 },
  beds: [{ id: 'b1', name: 'Bed 1', x: 2, y: 3, width: 6, height: 6 }],
  plotSize: { width: 1, length: 1 },
  buffer: 0.3,
  edge: 0.2,
};
const more: MorePlan = { guardRows: 0, differs: undefined, baseline: [], guess: usualGuess };
const day = readDay('2026-05-04');
if (day === undefined) throw new Error('no such day');
const ask = { seed: 20261125, day };

const drawn = (values: PlanValues, extra: MorePlan = more) => {
  const request = requestOf(values);
  const places = placesOf(values, extra, perBlockOf(request) * request.blocks);
  const made = drawFor(request, places, ask);
  if (!made.ok) throw new Error(made.problem.what);
  return { ...made, request, places };
};

describe('what the draw is asked for', () => {
  it('is the plan as it stands', () => {
    expect(requestOf(plan)).toEqual({
      kind: 'randomised-blocks',
      treatments: ids,
      control: 't1',
      blocks: 4,
    });
  });
  it('makes a square of a Latin square and drops a control that is gone', () => {
    const square = requestOf({
      ...plan,
      control: 't9',
      design: { kind: 'latin-square', blocks: 2, controlPlots: 2 },
    });
    expect(square).toEqual({ kind: 'latin-square', treatments: ids, blocks: 4 });
  });
  it('counts the control as often as it stands in a block', () => {
    const design = { kind: 'randomised-blocks', blocks: 3, controlPlots: 2 } as const;
    expect(perBlockOf(requestOf({ ...plan, design }))).toBe(5);
  });
});

describe('a draw', () => {
  it('gives every plot its number, code, block, place and treatment, each block all four', () => {
    const { draw } = drawn(plan);
    expect(draw.layout.map(({ plot }) => plot)).toEqual(
      Array.from({ length: 16 }, (_, i) => `${i + 1}`),
    );
    for (const block of ['1', '2', '3', '4']) {
      const inIt = draw.layout.filter((plot) => plot.block === block);
      expect(inIt.map(({ treatment }) => treatment).sort()).toEqual(ids);
    }
    expect(new Set(draw.layout.map(({ code }) => code)).size).toBe(16);
    expect(draw.layout.every(({ place }) => place?.bed === 'b1' && place.x < 6)).toBe(true);
  });
  it('is the same again from the same seed, and a good entry of the ledger', () => {
    expect(drawn(plan).draw).toEqual(drawn(plan).draw);
    const kind = recordKinds.find(({ name }) => name === 'draw');
    expect(kind?.read('1', asJson(drawn(plan).draw))).toBeUndefined();
  });
  it("puts plots alike in last week's disease into one block", () => {
    const baseline = Array.from({ length: 16 }, (_, i) => (i % 4 === 0 ? 90 : i));
    const { draw } = drawn(plan, { ...more, differs: { way: 'baseline' }, baseline });
    const last = draw.layout.filter(({ block }) => block === '4');
    expect(last.map(({ plot }) => plot)).toEqual(['1', '5', '9', '13']);
    expect(last.map(({ treatment }) => treatment).sort()).toEqual(ids);
  });
  it('needs no beds, and refuses plots that do not fit', () => {
    const { draw } = drawn({ ...plan, beds: [] });
    expect(draw.layout.every(({ place }) => place === undefined)).toBe(true);
    const tight = { ...plan, beds: [{ id: 'b1', name: 'Bed 1', width: 2, height: 2 }] };
    const places = placesOf(tight, more, 16);
    expect(drawFor(requestOf(tight), places, ask)).toMatchObject({
      ok: false,
      problem: { code: 'plots-do-not-fit' },
    });
  });
  it('is known to belong to a plan, or no longer', () => {
    const { draw, request, places } = drawn(plan);
    const draws = [
      { number: 1, thing: '1', value: draw, entry: { value: draw, who: '', clock: '' } },
    ];
    expect(isDrawnFor({ draws, request, places })).toBe(true);
    expect(isDrawnFor({ draws, request: { ...request, blocks: 5 }, places })).toBe(false);
    const wider = placesOf({ ...plan, buffer: 0.35 }, more, 16);
    expect(isDrawnFor({ draws, request, places: wider })).toBe(false);
    expect(isDrawnFor({ draws: [], request, places })).toBe(false);
  });
});

describe('the recommended design', () => {
  it('takes so many blocks that 0.05 is within reach: six for two treatments', () => {
    // 2 of the 2^6 layouts differ by names alone: 0.03125; with five blocks 0.0625.
    const two = requestOf({ ...plan, treatments: treatments.slice(0, 2) });
    expect(adviceFor(two)).toMatchObject({
      blocks: 6,
      why: expect.stringContaining('0.0313') as string,
    });
  });
  it('stays at four where four do, and says nothing of one treatment', () => {
    expect(adviceFor(requestOf(plan))?.blocks).toBe(4);
    expect(adviceFor(requestOf({ treatments: treatments.slice(0, 1) }))).toBeUndefined();
  });
});

describe('what the page keeps beside the document', () => {
  it('is read, and taken as not answered where it has another shape', () => {
    const good = {
      guardRows: 1,
      differs: { way: 'east', what: 'Shade' },
      baseline: [1, null, 3],
      guess: { ground: 'patchy', percent: 20, leaves: 8 },
    };
    expect(readMore((field) => good[field as keyof typeof good] as never)).toEqual(good);
    const bad = { guardRows: -1, differs: { way: 'up' }, baseline: 'many', guess: 3 };
    expect(readMore((field) => bad[field as keyof typeof bad])).toEqual({
      guardRows: 0,
      differs: undefined,
      baseline: [],
      guess: usualGuess,
    });
  });
  it('never gives an id twice', () => {
    expect(nextId('t', ['t1', 't3', 'x9'])).toBe('t4');
    expect(nextId('t', [])).toBe('t1');
  });
});
