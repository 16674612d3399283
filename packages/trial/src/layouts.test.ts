import { countLayouts, createRandom, smallestShare } from '@fairbed/stats';
import { describe, expect, it } from 'vitest';
import { layoutsOf } from './layouts';
import type { DesignKind, Plot, Trial } from './schema';

function trialOf(kind: DesignKind, plots: readonly Omit<Plot, 'id'>[]): Trial {
  const treatments = [...new Set(plots.map(({ treatment }) => treatment))].sort();
  return {
    format: 'fairbed-trial',
    version: 1,
    id: 't',
    title: 't',
    diseases: [],
    beds: [],
    treatments: treatments.map((id) => ({ id, name: id, kind: 'unstated' })),
    design: { kind },
    blocks: [],
    plots: plots.map((plot, i) => ({ id: `${i}`, ...plot })),
    plants: [],
    rounds: [],
    scores: [],
    times: [],
    sprays: [],
    events: [],
    harvests: [],
  };
}

const blocks = (words: readonly string[]): Omit<Plot, 'id'>[] =>
  words.flatMap((word, b) => Array.from(word).map((treatment) => ({ treatment, block: `${b}` })));
const square = (columns: readonly string[]): Omit<Plot, 'id'>[] =>
  columns.flatMap((word, c) =>
    Array.from(word).map((treatment, r) => ({ treatment, row: `${r}`, column: `${c}` })),
  );
const f = (n: bigint): bigint => (n < 2n ? 1n : n * f(n - 1n));

describe('randomised blocks', () => {
  it.each([
    ['4 treatments in 4 blocks', ['ABCD', 'BADC', 'DCBA', 'CDAB'], f(4n) ** 4n],
    ['2 treatments in 4 blocks', ['AB', 'BA', 'AB', 'BA'], 16n],
    ['6 treatments in 5 blocks', Array.from({ length: 5 }, () => 'ABCDEF'), f(6n) ** 5n],
    [
      'a control four times in blocks of 12',
      Array.from({ length: 4 }, () => 'AAAABCDEFGHI'),
      (f(12n) / f(4n)) ** 4n,
    ],
  ])('%s', (_name, words, count) => {
    const layouts = layoutsOf(trialOf('randomised-blocks', blocks(words)))!;
    expect(layouts.count).toBe(count);
    // Another room's count of the same set.
    expect(countLayouts(layouts.set, layouts.labels, layouts.treatments.length)).toBe(count);
  });

  it('with a lost plot let those that are left change places', () => {
    const trial = trialOf('randomised-blocks', blocks(['ABC', 'CBA']));
    const layouts = layoutsOf(trial, ['0', '1', '3', '4', '5'])!;
    expect(layouts.plots).toEqual(['0', '1', '3', '4', '5']);
    expect([...layouts.labels]).toEqual([0, 1, 2, 1, 0]);
    expect(layouts.set).toEqual({
      kind: 'strata',
      strata: [
        [0, 1],
        [2, 3, 4],
      ],
    });
    expect(layouts.count).toBe(12n);
  });

  it('incomplete ones change places within their blocks as well', () => {
    const layouts = layoutsOf(trialOf('incomplete-blocks', blocks(['AB', 'BC', 'CA'])))!;
    expect(layouts.count).toBe(8n);
  });
});

it('completely randomised: three groups of four are 12! / 4!^3', () => {
  const plots = Array.from('AAAABBBBCCCC').map((treatment) => ({ treatment }));
  expect(layoutsOf(trialOf('completely-randomised', plots))?.count).toBe(34_650n);
});

describe('Latin squares', () => {
  it.each([
    [['AB', 'BA'], 2n],
    [['ABC', 'BCA', 'CAB'], 12n],
    [['ABCD', 'BADC', 'CDAB', 'DCBA'], 576n],
    [['ABCDE', 'BCDEA', 'CDEAB', 'DEABC', 'EABCD'], 161_280n],
  ])('%j: all squares of its order, the drawn one among them', (columns, count) => {
    const layouts = layoutsOf(trialOf('latin-square', square(columns)))!;
    expect(layouts.count).toBe(count);
    if (layouts.set.kind !== 'list') throw new Error('not a list');
    const { labels, count: rows } = layouts.set;
    const n = layouts.labels.length;
    const drawn = layouts.labels.join();
    let found = 0;
    for (let i = 0; i < rows; i++)
      if (labels.subarray(i * n, (i + 1) * n).join() === drawn) found++;
    expect(found).toBe(1);
    // Renaming n treatments: n! of the layouts have the same F.
    expect(smallestShare(layouts.set, layouts.labels, columns.length)).toBeCloseTo(
      Number(f(BigInt(columns.length))) / Number(count),
      12,
    );
  });

  // Finney 1947, OrchardSprays of the R datasets: 8 x 8, columns as printed, A to H.
  const orchard = [
    'DEBHGFCA',
    'CBHDEAFG',
    'FHAEDCGB',
    'HAECFGBD',
    'EDGACBHF',
    'ACFGBDEH',
    'BGCFAHDE',
    'GFDBHEAC',
  ];
  it('of order 8 is drawn again by reordering, and says how many that are', () => {
    const layouts = layoutsOf(trialOf('latin-square', square(orchard)))!;
    if (layouts.set.kind !== 'draw') throw new Error('not drawn');
    expect(layouts.exactCount).toBe(true);
    expect(f(8n) ** 3n % layouts.count).toBe(0n);
    const out = new Uint8Array(64);
    layouts.set.draw(createRandom(1), out);
    for (let c = 0; c < 8; c++) {
      expect(new Set(out.slice(8 * c, 8 * c + 8)).size).toBe(8);
    }
    expect([...out]).not.toEqual([...layouts.labels]);
  });

  it('with a lost plot reads the plots that are left from whole squares', () => {
    const plots = square(['ABC', 'BCA', 'CAB']);
    const whole = trialOf('latin-square', plots);
    const asked = layoutsOf(whole, ['0', '1', '2', '3', '4', '5', '6', '7'])!;
    const missing = layoutsOf(trialOf('latin-square', plots.slice(0, 8)))!;
    expect(asked.count).toBe(12n);
    expect(missing.set).toEqual(asked.set);
    expect(asked.labels).toHaveLength(8);
  });

  it('without rows and columns tell nothing', () => {
    expect(layoutsOf(trialOf('latin-square', blocks(['AB', 'BA'])))).toBeUndefined();
  });
});

describe('split plots', () => {
  const oats = Array.from({ length: 6 }, (_, b) =>
    ['G', 'M', 'V'].flatMap((variety) =>
      ['0', '1', '2', '3'].map((n) => ({
        treatment: variety + n,
        block: `${b}`,
        wholePlot: variety,
      })),
    ),
  ).flat();
  it('of Yates (3 varieties, 4 nitrogen levels, 6 blocks) are (3! x 4!^3)^6', () => {
    expect(layoutsOf(trialOf('split-plot', oats))?.count).toBe((f(3n) * f(4n) ** 3n) ** 6n);
  });

  it('deal hands among whole plots, then shuffle inside: all 8 layouts of the smallest, evenly', () => {
    const plots = ['a1', 'a2', 'b1', 'b2'].map((treatment) => ({
      treatment,
      block: '1',
      wholePlot: treatment[0],
    }));
    const layouts = layoutsOf(trialOf('split-plot', plots))!;
    expect(layouts.count).toBe(8n);
    if (layouts.set.kind !== 'draw') throw new Error('not drawn');
    const random = createRandom(3);
    const seen = new Map<string, number>();
    const out = new Uint8Array(4);
    for (let i = 0; i < 8000; i++) {
      layouts.set.draw(random, out);
      seen.set(out.join(''), (seen.get(out.join('')) ?? 0) + 1);
    }
    expect(seen.size).toBe(8);
    // Binomial(8000, 1/8): standard deviation 29.6; five of them.
    for (const n of seen.values()) expect(Math.abs(n - 1000)).toBeLessThan(148);
  });

  it('with the same treatments in every whole plot only shuffle inside', () => {
    const plots = ['1', '2'].flatMap((wholePlot) =>
      ['a', 'b'].map((treatment) => ({ treatment, block: '1', wholePlot })),
    );
    expect(layoutsOf(trialOf('split-plot', plots))?.count).toBe(4n);
  });
});
