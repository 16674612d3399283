import { describe, expect, it } from 'vitest';
import { planCommand, type PlanFlags } from './plan';

const usual: PlanFlags = {
  treatments: 'A, B, C, D',
  control: 'A',
  blocks: 4,
  design: 'randomised-blocks',
  plants: 5,
  seed: 7,
  simulations: 0,
};

type Row = {
  readonly plot: string;
  readonly code: string;
  readonly block: string | null;
  readonly row: string | null;
  readonly column: string | null;
  readonly wholePlot: string | null;
  readonly treatment: string;
};
type Document = {
  readonly seed: number;
  readonly layout: readonly Row[];
  readonly layouts: string;
  readonly smallestP: number;
  readonly errorDf: number;
  readonly practice: unknown;
  readonly plants: number;
  readonly rounds: number | null;
  readonly worthHavingPercent: number | null;
  readonly notes: readonly string[];
};

function planned(flags: Partial<PlanFlags>): Document {
  const { out, err, status } = planCommand({ ...usual, json: true, ...flags });
  expect(status, err).toBe(0);
  expect(err).toBe('');
  return JSON.parse(out) as Document;
}

/** The usual flags without some of them. */
const without = (...flags: readonly (keyof PlanFlags)[]): PlanFlags =>
  Object.fromEntries(
    Object.entries(usual).filter(([flag]) => !flags.includes(flag as keyof PlanFlags)),
  ) as unknown as PlanFlags;

describe('the document', () => {
  it('has each treatment once in each block, 4!^4 layouts and 4! / 4!^4', () => {
    const { seed, layout, layouts, smallestP, errorDf, plants } = planned({});
    expect(seed).toBe(7);
    expect(layouts).toBe('331776');
    expect(smallestP).toBeCloseTo(24 / 331_776, 15);
    expect(errorDf).toBe(9);
    expect(plants).toBe(80);
    for (const block of ['1', '2', '3', '4']) {
      const hand = layout.filter((plot) => plot.block === block).map((plot) => plot.treatment);
      expect(hand.sort()).toEqual(['A', 'B', 'C', 'D']);
    }
    expect(new Set(layout.map(({ code }) => code)).size).toBe(16);
    expect(layout.map(({ plot }) => plot).slice(3, 5)).toEqual(['104', '201']);
  });

  it('of two treatments in four blocks says 0.125, and that it can never show anything', () => {
    const { smallestP, notes } = planned({ treatments: 'A,B' });
    expect(smallestP).toBe(0.125);
    expect(notes[0]).toContain('can never give a p-value below 0.125');
  });

  it('of a Latin square has rows and columns, and takes its blocks from its treatments', () => {
    const rest = without('blocks');
    const { out } = planCommand({ ...rest, design: 'latin-square', json: true });
    const { layout, layouts } = JSON.parse(out) as Document;
    expect(layouts).toBe('576');
    expect(layout[5]).toMatchObject({ plot: '202', row: '2', column: '2', block: null });
  });

  it('of a split plot takes the treatments from its practices', () => {
    const rest = without('treatments', 'control');
    const { out } = planCommand({
      ...rest,
      design: 'split-plot',
      practice: ['wide=WU, WS', 'close=CU,CS'],
      json: true,
    });
    const { layout, practice, layouts } = JSON.parse(out) as Document;
    expect(layouts).toBe('4096');
    expect(practice).toEqual({ smallestP: 0.125, errorDf: 3 });
    expect(layout.filter(({ wholePlot }) => wholePlot === '8')).toHaveLength(2);
  });

  it('keeps what the flags say of rounds and of the difference worth having', () => {
    expect(planned({ rounds: 5, difference: 50 })).toMatchObject({
      rounds: 5,
      worthHavingPercent: 50,
    });
    expect(planned({})).toMatchObject({ rounds: null, worthHavingPercent: null });
  });

  it('is the same again with the same seed, and takes a seed by lot without one', () => {
    expect(planned({})).toEqual(planned({}));
    const rest = without('seed');
    const first = JSON.parse(planCommand({ ...rest, json: true }).out) as Document;
    expect(planned({ seed: first.seed })).toEqual(first);
    const seeds = Array.from(
      { length: 5 },
      () => (JSON.parse(planCommand({ ...rest, json: true }).out) as Document).seed,
    );
    expect(new Set(seeds).size).toBeGreaterThan(1);
  });
});

it('is printed as a list of plots, what it can show and what it takes', () => {
  const { out } = planCommand(usual);
  const lines = out.split('\n');
  expect(lines[0]).toBe('plot  code  block  treatment');
  expect(lines[1]).toMatch(/^101 {4}\w{3} {6}1 {10}[ABCD]$/);
  expect(out).toContain('331,776 layouts were possible, each as likely as this one.');
  expect(out).toContain('The smallest p-value this layout can give is 0.0000723.');
  expect(out).toContain('Error degrees of freedom: 9.');
  expect(out).toContain('80 plants and about 46 minutes a round');
  for (const line of lines) expect(line.length).toBeLessThanOrEqual(90);
});

describe('the chance to show a difference', () => {
  type Chance = { readonly chance: number; readonly low: number; readonly high: number };
  type Power = Chance & {
    readonly simulations: number;
    readonly differencePercent: number;
    readonly says: string;
    readonly larger: readonly (Chance & { readonly blocks: number; readonly plants: number })[];
  };
  const powerOf = (flags: Partial<PlanFlags>): Power =>
    (planned({ simulations: 60, ...flags }) as unknown as { readonly power: Power }).power;

  it('stands in the document with its limits, and those of larger trials', () => {
    const power = powerOf({ difference: 60, simulations: 40 });
    expect(power.simulations).toBe(40);
    expect(power.differencePercent).toBe(60);
    expect(power.low).toBeLessThan(power.chance);
    expect(power.high).toBeGreaterThan(power.chance);
    expect(power.says).toContain('prevents 60 % of the disease');
    expect(power.larger.map(({ blocks, plants }) => [blocks, plants])).toEqual([
      [4, 10],
      [6, 5],
      [8, 5],
    ]);
    expect(power.larger[2]?.chance).toBeGreaterThan(power.chance);
  });

  it('is left out on request, and null with the reason where nothing can be called', () => {
    expect(planned({})).toMatchObject({ power: null });
    expect(planned({ blocks: 1, simulations: 60 })).toMatchObject({
      power: null,
      powerWhy: expect.stringContaining('one plot') as string,
    });
  });

  it('follows the ground and what is expected', () => {
    const [even, patchy] = (['even', 'patchy'] as const).map((ground) =>
      powerOf({ ground, treatments: 'A,B', blocks: 6 }),
    );
    expect(even.chance).toBeGreaterThan(patchy.chance + 0.1);
    const rare = powerOf({ expect: 1, ground: 'even', treatments: 'A,B', blocks: 6 });
    expect(rare.chance).toBe(0);
  });

  it('is told to a grower with what was assumed and what would help, and how far it is', () => {
    const heard: string[] = [];
    const { out } = planCommand({ ...usual, treatments: 'A,B', simulations: 60 }, (text) => {
      heard.push(text);
    });
    expect(out).toContain('No difference was named; a halving was taken.');
    expect(out.replaceAll(/\s+/g, ' ')).toContain(
      'a treatment that halves the disease would be called in 0 of 100 such trials',
    );
    expect(out).toContain('blocks  plants a plot  called  95 % limits');
    expect(heard.join('')).toContain('60 of 60 trials');
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(90);
  });
});

describe('refuses, with status 2 and a sentence', () => {
  it.each([
    ['no treatments', { treatments: undefined }, '--treatments'],
    ['a treatment without a name', { treatments: 'A,,B' }, 'has no name'],
    ['no blocks', { blocks: undefined }, '--blocks 4'],
    ['a practice without treatments', { design: 'split-plot', practice: ['wide'] }, 'wide=A,B'],
    ['a split plot without practices', { design: 'split-plot' }, '--practice'],
    ['practices without a split plot', { practice: ['wide=A,B', 'close=C,D'] }, '--practice'],
    ['incomplete blocks of no size', { design: 'incomplete-blocks' }, '--per-block'],
    ['a square of four in five rows', { design: 'latin-square', blocks: 5 }, 'Latin square needs'],
    ['a control nobody knows', { control: 'E' }, 'not among the treatments'],
    ['half a plant', { plants: 0.5 }, '--plants'],
    ['no rounds', { rounds: 0 }, '--rounds'],
    ['a difference of nothing', { difference: 0 }, '--difference'],
    ['half a simulation', { simulations: 0.5 }, '--simulations'],
    ['a spread of two', { spread: [1, 2] }, '--spread'],
    ['an outcome nobody knows', { outcome: 'joy' }, '--outcome'],
    ['disease of everything', { expect: 100, simulations: 10 }, 'below 100 %'],
    ['a seed too large', { seed: 2 ** 32 }, '--seed'],
  ] as const)('%s', (_what, flags, sentence) => {
    const given = Object.entries({ ...usual, ...flags }).filter(([, value]) => value !== undefined);
    const { out, err, status } = planCommand(Object.fromEntries(given) as unknown as PlanFlags);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toMatch(/^fairbed plan: /);
    expect(err).toContain(sentence);
  });
});
