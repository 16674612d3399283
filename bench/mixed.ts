import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { fitBinomialMixed, fitOrdinalMixed, type RandomGrouping } from '@fairbed/stats';
import type { Row } from './timing';

type Table = readonly Readonly<Record<string, string>>[];

const INPUTS = new URL('../packages/stats/oracle/inputs/', import.meta.url);

const readTable = (name: string): Table => {
  const [head, ...lines] = readFileSync(new URL(`${name}.csv`, INPUTS), 'utf8')
    .trim()
    .split('\n');
  const names = head.split(',');
  return lines.map((line) =>
    Object.fromEntries(line.split(',').map((cell, i) => [names[i], cell.trim()])),
  );
};

const numbers = (rows: Table, name: string) => rows.map((row) => Number(row[name]));

const grouping = (name: string, labels: readonly string[]): RandomGrouping => {
  const levels = [...new Set(labels)].sort();
  const place = new Map(levels.map((level, i) => [level, i]));
  return { name, codes: labels.map((label) => place.get(label) ?? 0), levels };
};

const column = (rows: Table, name: string) =>
  grouping(
    name,
    rows.map((row) => row[name]),
  );

const timeR = (): ReadonlyMap<string, number> => {
  const script = fileURLToPath(new URL('mixed.R', import.meta.url));
  const run = spawnSync('Rscript', [script, fileURLToPath(INPUTS)], { encoding: 'utf8' });
  if (run.status !== 0) return new Map();
  const lines = run.stdout.trim().split('\n');
  return new Map(lines.map((line) => [line.split(' ')[0], Number(line.split(' ')[1])]));
};

/**
 * Median of 15 runs after 60, by when the fits are compiled; the sum of what the runs return is kept,
 * so none can be skipped.
 */
const time = (fit: () => { readonly logLik: number }): number => {
  let kept = 0;
  for (let i = 0; i < 60; i++) kept += fit().logLik;
  const runs = Array.from({ length: 15 }, () => {
    const start = performance.now();
    kept += fit().logLik;
    return performance.now() - start;
  });
  if (!Number.isFinite(kept)) throw new Error('a timed fit failed');
  return runs.sort((a, b) => a - b)[7];
};

const leafFit = (rows: Table) => () =>
  fitBinomialMixed({
    successes: numbers(rows, 'diseased'),
    trials: numbers(rows, 'leaves'),
    fixed: { factors: [column(rows, 'trt')] },
    random: ['block', 'plot', 'plant'].map((name) => column(rows, name)),
  });

const grapesFit = (rows: Table) => {
  const plot = rows.map((row) => `${row.block} ${row.trt}`);
  const stock = rows.map((row, i) => `${plot[i]} ${row.vine}`);
  return () =>
    fitBinomialMixed({
      successes: numbers(rows, 'diseased'),
      trials: numbers(rows, 'total'),
      fixed: { factors: [column(rows, 'trt')] },
      random: [column(rows, 'block'), grouping('plot', plot), grouping('stock', stock)],
    });
};

const gradesFit = (rows: Table) => () =>
  fitOrdinalMixed({
    grades: numbers(rows, 'score'),
    classes: 6,
    fixed: { factors: [column(rows, 'trt')] },
    random: ['block', 'plot'].map((name) => column(rows, name)),
  });

/** Ten copies of the 96 plants as forty blocks: 960 plants in 160 plots. */
const tenfold = (rows: Table): Table =>
  Array.from({ length: 10 }, (_, copy) =>
    rows.map((row) => ({
      ...row,
      block: `${copy}${row.block}`,
      plot: `${copy}${row.plot}`,
      plant: `${copy}${row.plant}`,
    })),
  ).flat();

/** Mixed models of counts and grades against R's glmer and clmm. */
export function benchMixed(): readonly Row[] {
  const peers = timeR();
  const row = (
    name: string,
    fit: () => { readonly logLik: number },
    peer?: string,
    target?: number,
  ): Row => {
    const oursMs = time(fit);
    const peerMs = (peer === undefined ? undefined : peers.get(peer)) ?? null;
    const ratio = peerMs === null ? null : peerMs / oursMs;
    return { name, oursMs, peerMs, ratio, ...(target === undefined ? {} : { target }) };
  };
  const leaf = readTable('leaf_4x4x6');
  return [
    row('96 plants in plots in blocks, counts, R glmer', leafFit(leaf), 'leaf_4x4x6', 100),
    row(
      'the same with rare disease, variances of zero, R glmer',
      leafFit(readTable('leaf_4x4x6_rare')),
      'leaf_4x4x6_rare',
      100,
    ),
    row(
      '270 shoots on 54 vines, counts, R glmer',
      grapesFit(readTable('hughes.grapes')),
      'hughes.grapes',
    ),
    row('960 plants in plots in blocks, counts', leafFit(tenfold(leaf))),
    row('100 plants, grades, R clmm', gradesFit(readTable('ordinal_4x5x5')), 'ordinal_4x5x5'),
  ];
}
