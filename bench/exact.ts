import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createRandom, exactTest, stepDownFamily } from '@fairbed/stats';
import { type Books, createBooks } from '../packages/stats/src/exact/books';
import { countRelabelings } from '../packages/stats/src/exact/count-relabelings';
import { type RelabelingCounter, relabelingKernel } from '../packages/stats/src/exact/kernel';
import { createStreams } from '../packages/stats/src/exact/streams';
import type { Row } from './timing';

type Trial = {
  readonly name: string;
  readonly y: Float64Array;
  readonly labels: Uint8Array;
  readonly strata: readonly (readonly number[])[];
  readonly k: number;
};

const INPUTS = new URL('../packages/stats/oracle/inputs/', import.meta.url);
const DRAWS = 1_000_000;

const readTrial = (name: string): Trial => {
  const rows = readFileSync(new URL(`${name}.csv`, INPUTS), 'utf8')
    .trim()
    .split('\n')
    .slice(1);
  const cells = rows.map((row) => row.split(','));
  const names = (at: number) => [...new Set(cells.map((c) => c[at]))].sort();
  const [blocks, treatments] = [names(0), names(1)];
  return {
    name,
    y: Float64Array.from(cells, (c) => Number(c[2])),
    labels: Uint8Array.from(cells, (c) => treatments.indexOf(c[1])),
    strata: blocks.map((b) => [...cells.keys()].filter((p) => cells[p][0] === b)),
    k: treatments.length,
  };
};

/** The tables and the drawn layout's sum of squares: made once per trial, as R's matrix is. */
const prepare = ({ y, labels, strata, k }: Trial): { books: Books; threshold: number } => {
  const values = y.slice();
  for (const positions of strata) {
    const mean = positions.reduce((s, p) => s + y[p], 0) / positions.length;
    for (const p of positions) values[p] -= mean;
  }
  const totals = new Float64Array(k);
  labels.forEach((l, p) => (totals[l] += values[p]));
  const squares = totals.reduce((s, t) => s + (t * t) / strata.length, 0);
  const scale = new Float64Array(k).fill(1 / Math.sqrt(strata.length));
  const books = createBooks({ strata, labels, k, values, scale, fixed: (s) => s === 0 });
  if (books === undefined) throw new Error('these blocks are small enough for tables');
  return { books, threshold: squares * (1 - 1e-9) };
};

const median = (times: number[]): number => times.sort((a, b) => a - b)[times.length >> 1];

const time = (work: () => number): number => {
  let kept = 0;
  const times = Array.from({ length: 9 }, () => {
    const start = performance.now();
    kept += work();
    return performance.now() - start;
  });
  if (!Number.isFinite(kept)) throw new Error('the result must be used');
  return median(times.slice(2));
};

const timeCount = (trial: Trial, count: RelabelingCounter): number =>
  time(() => {
    const { books, threshold } = prepare(trial);
    return count(books, createStreams(createRandom(1)), DRAWS / 4, threshold);
  });

const timeR = (): ReadonlyMap<string, number> => {
  const script = fileURLToPath(new URL('exact.R', import.meta.url));
  const { status, stdout } = spawnSync('Rscript', [script, fileURLToPath(INPUTS)], {
    encoding: 'utf8',
  });
  if (status !== 0) return new Map();
  const lines = stdout.trim().split('\n');
  return new Map(
    lines
      .map((line) => line.trim().split(' '))
      .map(([name, what, ms]) => [`${name} ${what}`, Number(ms)]),
  );
};

/** Four outcomes of one trial: the values, bent in three ways and mixed with one another. */
const fourOutcomes = (y: Float64Array): readonly Float64Array[] => [
  y,
  y.map((v) => Math.sqrt(Math.abs(v))),
  y.map((v, p) => v + 10 * Math.sin(p)),
  y.map((v, p) => 1000 / (10 + Math.abs(v)) + Math.cos(3 * p)),
];

/** Processor time of this process, as R's is taken: a busy machine does not lengthen it. */
const cpuTime = (work: () => number): number => {
  let kept = 0;
  const times = Array.from({ length: 9 }, () => {
    const start = process.cpuUsage();
    kept += work();
    const { user, system } = process.cpuUsage(start);
    return (user + system) / 1000;
  });
  if (!Number.isFinite(kept)) throw new Error('the result must be used');
  return median(times.slice(2));
};

/** A million relabelings of four outcomes with step-down over all of them, tables included. */
const familyRow = ({ name, y, labels, strata, k }: Trial, peerMs: number | null): Row => {
  const request = {
    values: fourOutcomes(y),
    labels,
    layouts: { kind: 'strata' as const, strata },
    treatments: k,
    control: 0,
    seed: 1,
    maxLayouts: 1,
    draws: DRAWS,
  };
  const oursMs = cpuTime(() => stepDownFamily(request).members[0].pStepDown);
  return {
    name: `${name.slice(5)}, 1e6 relabelings, step-down over 4 outcomes, vectorised R: F of one`,
    oursMs,
    peerMs,
    ratio: peerMs === null ? null : peerMs / oursMs,
    target: 40,
    note: 'processor time on both sides',
  };
};

/**
 * Times relabelings of the exact test against R in the same run, tables and streams included:
 * a million random relabelings in TypeScript and in the vector kernel against the coin package and
 * against vectorised R; every layout of 4 x 4, all comparisons included, against R's F alone.
 */
export function benchExact(): readonly Row[] {
  const peers = timeR();
  const row = (name: string, oursMs: number, peer: string): Row => {
    const peerMs = peers.get(peer) ?? null;
    return { name, oursMs, peerMs, ratio: peerMs === null ? null : peerMs / oursMs };
  };
  const kernel = relabelingKernel();
  const rows: Row[] = [];
  for (const name of ['rcbd_4x4', 'rcbd_6x5']) {
    const trial = readTrial(name);
    const size = name.slice(5);
    const plain = timeCount(trial, countRelabelings);
    const vector = kernel === undefined ? undefined : timeCount(trial, kernel);
    for (const peer of ['coin', 'vectorised']) {
      const against = peer === 'coin' ? 'R coin' : 'vectorised R';
      const label = `${size}, 1e6 relabelings, ${against}`;
      rows.push(row(`${label}: TypeScript`, plain, `${name} ${peer}`));
      if (vector !== undefined) rows.push(row(`${label}: kernel`, vector, `${name} ${peer}`));
    }
  }
  for (const name of ['rcbd_4x4', 'rcbd_6x5'])
    rows.push(familyRow(readTrial(name), peers.get(`${name} vectorised`) ?? null));
  const { y, labels, strata, k } = readTrial('rcbd_4x4');
  const whole = time(() => {
    const options = { y, labels, layouts: { kind: 'strata' as const, strata }, treatments: k };
    const result = exactTest({ ...options, control: 0, seed: 1 });
    return result.kind === 'tested' ? result.p : 0;
  });
  rows.push(
    row('4x4, all 331,776 layouts with every comparison, R: F alone', whole, 'rcbd_4x4 enumerated'),
  );
  return rows;
}
