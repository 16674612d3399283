import { readFileSync } from 'node:fs';
import type { DesignKind, Trial } from '@fairbed/trial';
import { describe, expect, it } from 'vitest';
import { judge } from './judge';
import type { JudgeOptions } from './options';

// R's optimum is good to about 1e-5 in the variances; ratios of mean squares are exact.
const tol = { closedForm: 1e-9, optimised: 2e-4, printed: 5e-4 };

type Given = {
  readonly treatment: string;
  readonly block?: string | undefined;
  readonly wholePlot?: string | undefined;
  readonly value?: number | undefined;
  readonly baseline?: number | undefined;
};

function trialOf(kind: DesignKind, rows: readonly Given[]): Trial {
  const treatments = [...new Set(rows.map(({ treatment }) => treatment))].sort();
  return {
    format: 'fairbed-trial',
    version: 1,
    id: 'made',
    title: 'made',
    diseases: [{ id: 'd', name: 'disease' }],
    beds: [],
    plants: [],
    times: [],
    sprays: [],
    events: [],
    harvests: [],
    treatments: treatments.map((id) => ({ id, name: id, kind: 'unstated' })),
    design: { kind },
    blocks: [...new Set(rows.flatMap(({ block }) => block ?? []))].map((id) => ({ id, name: id })),
    plots: rows.map(({ treatment, block, wholePlot }, i) => ({
      id: `${i}`,
      treatment,
      ...(block === undefined ? {} : { block }),
      ...(wholePlot === undefined ? {} : { wholePlot }),
    })),
    rounds: [{ id: 'r' }],
    valueMeasure: { name: 'yield', better: 'higher' },
    scores: rows.flatMap(({ value, baseline }, i) =>
      value === undefined
        ? []
        : [{ plot: `${i}`, round: 'r', value, ...(baseline === undefined ? {} : { baseline }) }],
    ),
  };
}

const linesOf = (file: string): string[][] =>
  readFileSync(new URL(`../../stats/oracle/inputs/${file}.csv`, import.meta.url), 'utf8')
    .trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => line.split(','));

const oats = linesOf('oats').map(([b = '', v = '', n = '', y], i) => ({
  treatment: `${v} ${n}`,
  block: b,
  wholePlot: v,
  value: Number(y),
  baseline: (7 * (i + 1)) % 13,
}));

type RSides = {
  means: { emmean: number; SE: number }[];
  pairs: { estimate: number; SE: number; df: number }[];
};
type RCase = {
  kr: { term: string; df: number; den: number; f: number; p: number }[];
  sides_kr: RSides;
  slope?: number;
};
const { expected: answers } = JSON.parse(
  readFileSync(new URL('../../stats/oracle/reml.json', import.meta.url), 'utf8'),
) as { expected: Record<string, RCase> };

function near(
  got: number | null | undefined,
  expected: number | undefined,
  relative: number,
): void {
  expect(typeof got).toBe('number');
  const size = Math.max(1e-3, Math.abs(expected ?? 0));
  expect(Math.abs((got ?? NaN) - (expected ?? NaN))).toBeLessThanOrEqual(relative * size);
}

const mainOf = (trial: Trial, options: JudgeOptions = {}) => {
  const [main] = judge(trial, { outcome: 'value-last', ...options }).outcomes;
  return main;
};

describe('a split plot: Yates’s oats', () => {
  const control = 'Victory 0.0cwt';
  const main = mainOf(trialOf('split-plot', oats), { control });
  const row = (source: string) => main.anova?.rows.find((one) => one.source === source);

  it('has two errors and the interaction, as printed (V 1.485, N 37.686, N:V 0.303)', () => {
    expect(main.anova?.rows.map(({ source, df }) => [source, df])).toEqual([
      ['block', 5],
      ['practice', 2],
      ['whole-plot error', 10],
      ['treatment', 3],
      ['practice x treatment', 6],
      ['residual', 45],
    ]);
    near(row('practice')?.f, 1.485, tol.printed);
    near(row('treatment')?.f, 37.686, tol.printed);
    near(row('practice x treatment')?.f, 0.303, 2e-3);
    near(
      row('practice')?.f,
      (row('practice')?.ms ?? 0) / (row('whole-plot error')?.ms ?? 0),
      tol.closedForm,
    );
    expect(row('practice')?.errorDf).toBe(10);
    expect(row('treatment')?.errorDf).toBe(45);
  });

  it('compares within whole plots by the small error, between them by the large one, as R', () => {
    const { sides_kr: sides } = answers['oats_cells'];
    expect(main.allPairs).toHaveLength(sides.pairs.length);
    main.allPairs?.forEach(({ difference, se }, i) => {
      near(difference, sides.pairs[i]?.estimate, tol.optimised);
      near(se, sides.pairs[i]?.SE, tol.optimised);
    });
    main.treatments.forEach(({ mean, se }, i) => {
      near(mean, sides.means[i]?.emmean, tol.optimised);
      near(se, sides.means[i]?.SE, tol.optimised);
    });
    const seOf = (name: string) => main.versusControl?.find((one) => one.name === name)?.se ?? 0;
    const residual = row('residual')?.ms ?? 0;
    near(seOf('Victory 0.6cwt'), Math.sqrt((2 * residual) / 6), tol.closedForm * 100);
    expect(seOf('Marvellous 0.0cwt')).toBeGreaterThan(1.2 * seOf('Victory 0.6cwt'));
    expect(main.mixed?.sd['whole plot']).toBeGreaterThan(8);
  });

  it('adjusts for a baseline by the same road', () => {
    const r = answers['oats_baseline'];
    const adjusted = mainOf(trialOf('split-plot', oats), {
      control,
      baseline: 'baseline-value',
    }).baselineAdjusted;
    near(adjusted?.slope, r.slope, tol.optimised);
    adjusted?.treatments.forEach(({ mean, se }, i) => {
      near(mean, r.sides_kr.means[i]?.emmean, tol.optimised);
      near(se, r.sides_kr.means[i]?.SE, tol.optimised);
    });
    const slope = adjusted?.anova?.rows.find(({ source }) => source === 'baseline');
    const expected = r.kr.find(({ term }) => term === 'base');
    near(slope?.f, expected?.f, tol.optimised);
    near(slope?.errorDf, expected?.den, tol.optimised);
  });

  it('with plots lost gives F and degrees of freedom by Kenward and Roger', () => {
    const lost = oats.map((one, i) =>
      [5, 17, 40, 41, 66].includes(i + 1) ? { ...one, value: undefined } : one,
    );
    const rows = mainOf(trialOf('split-plot', lost), { control }).anova?.rows ?? [];
    const names = { B: 'block', V: 'practice', N: 'treatment', 'V:N': 'practice x treatment' };
    for (const { term, f, den, p } of answers['oats_lost'].kr) {
      const mine = rows.find(({ source }) => source === names[term as keyof typeof names]);
      near(mine?.f, f, tol.optimised);
      near(mine?.errorDf, den, tol.optimised);
      near(mine?.p, p, 5 * tol.optimised);
    }
  });

  it('does not hang on the names of blocks and whole plots, or the order of plots', () => {
    const other = mainOf(
      trialOf(
        'split-plot',
        oats.toReversed().map((one) => ({
          ...one,
          block: `bed ${one.block}`,
          wholePlot: `${one.block}/${one.wholePlot}`,
        })),
      ),
      { control },
    );
    other.versusControl?.forEach(({ p, se }, i) => {
      near(p, main.versusControl?.[i]?.p ?? undefined, 1e-6);
      near(se, main.versusControl?.[i]?.se ?? undefined, 1e-6);
    });
  });
});

describe('a small split plot', () => {
  // Classical strata (Cochran & Cox, Experimental Designs, 7.1): ratios of the table's mean squares.
  const small = (blocks: number, practices: number) =>
    Array.from({ length: blocks * practices * 2 }, (_, i) => {
      const whole = Math.floor(i / 2);
      return {
        treatment: `P${whole % practices} ${i % 2 ? 'soap' : 'plain'}`,
        block: `b${Math.floor(whole / practices)}`,
        wholePlot: `w${whole}`,
        value: 20 + 3 * Math.sin(12.9898 * (whole + 1)) + 2 * Math.sin(78.233 * (i + 1)),
      };
    });

  it.each([
    [2, 2],
    [3, 2],
    [2, 3],
    [3, 3],
  ])('%i blocks of %i practices x 2: the classical F and degrees of freedom', (b, p) => {
    const rows = mainOf(trialOf('split-plot', small(b, p))).anova?.rows ?? [];
    const row = (name: string) => rows.find(({ source }) => source === name);
    const between = { name: 'whole-plot error', df: (b - 1) * (p - 1) };
    const inside = { name: 'residual', df: p * (b - 1) };
    for (const [name, error] of [
      ['practice', between],
      ['treatment', inside],
      ['practice x treatment', inside],
    ] as const) {
      expect(row(name)?.errorDf).toBe(error.df);
      near(row(name)?.f, (row(name)?.ms ?? NaN) / (row(error.name)?.ms ?? NaN), tol.closedForm);
      expect(row(name)?.p).toBeTypeOf('number');
    }
  });
});

describe('what a split plot can’t say', () => {
  it('with one whole plot of each practice, compares within practices only', () => {
    const rows = oats
      .filter(({ block }) => block === 'I')
      .flatMap((one) => [one, { ...one, value: one.value + 3 + ((one.value * 7) % 5) }]);
    const main = mainOf(trialOf('split-plot', rows), { control: 'Victory 0.0cwt' });
    const of = (name: string) => main.versusControl?.find((one) => one.name === name);
    expect(of('Victory 0.6cwt')?.p).toBeTypeOf('number');
    expect(of('Marvellous 0.6cwt')).toMatchObject({ se: null, p: null, low: null, high: null });
    expect(of('Marvellous 0.6cwt')?.difference).toBeTypeOf('number');
    expect(main.anova?.rows.find(({ source }) => source === 'practice')).toMatchObject({
      f: null,
      p: null,
    });
  });

  it('is described where plots don’t say which whole plot they lie in', () => {
    const rows = oats.map((one, i) => (i === 0 ? { ...one, wholePlot: undefined } : one));
    const judged = judge(trialOf('split-plot', rows), { outcome: 'value-last' });
    expect(judged.verdict.grade).toBe('no answer');
    expect(judged.verdict.cautions.join(' ')).toMatch(/which one it lies in/);
  });

  it('names treatments within practices where practices have different ones', () => {
    const rows = oats.map((one) => ({
      ...one,
      treatment: one.treatment.startsWith('Victory') ? `${one.treatment}x` : one.treatment,
    }));
    const sources = mainOf(trialOf('split-plot', rows)).anova?.rows.map(({ source, df }) => [
      source,
      df,
    ]);
    expect(sources).toContainEqual(['treatment within practice', 9]);
  });
});

describe('incomplete blocks: Yates’s peas, eight treatments in blocks of four', () => {
  const npk = linesOf('npk').map(([block = '', n = '', p = '', k = '', y], i) => ({
    treatment: `${n}${p}${k}`,
    block,
    value: Number(y),
    baseline: (7 * (i + 1)) % 13,
  }));

  it.each([
    ['npk', undefined],
    ['npk_baseline', 'baseline-value'],
  ] as const)('%s: between blocks too, as R', (name, baseline) => {
    const main = mainOf(trialOf('incomplete-blocks', npk), {
      control: '000',
      ...(baseline ? { baseline } : {}),
    });
    const shown = baseline ? main.baselineAdjusted : main;
    const { sides_kr: sides } = answers[name];
    shown?.treatments.forEach(({ mean, se }, i) => {
      near(mean, sides.means[i]?.emmean, tol.optimised);
      near(se, sides.means[i]?.SE, tol.optimised);
    });
    shown?.versusControl?.forEach(({ difference, se }, i) => {
      near(difference, -(sides.pairs[i]?.estimate ?? NaN), tol.optimised);
      near(se, sides.pairs[i]?.SE, tol.optimised);
    });
    expect(main.anova?.rows.map(({ source }) => source)).toEqual([
      'block',
      'treatment',
      'residual',
    ]);
  });
});

describe('how it was made', () => {
  it('says which model stands behind the figures', () => {
    const { how } = judge(trialOf('split-plot', oats), { outcome: 'value-last' });
    expect(how.join(' ')).toMatch(/Mixed model by REML, whole plot random/);
    expect(how.join(' ')).not.toMatch(/Least squares on/);
  });
});
