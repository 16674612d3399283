import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { dunnettUpper, studentizedRangeUpper } from '@fairbed/stats';
import { alternately, type Row } from './timing';

type RangePoint = {
  readonly q: number;
  readonly nmeans: number;
  readonly df: number;
  readonly upper: number;
};

type ControlPoint = {
  readonly t: number;
  readonly comparisons: number;
  readonly df: number;
  /** R's own double integral, good to about 1e-8. */
  readonly p: number;
};

const ORACLE = new URL('../packages/stats/oracle/', import.meta.url);

const readExpected = (name: string): unknown =>
  (JSON.parse(readFileSync(new URL(`${name}.json`, ORACLE), 'utf8')) as { expected: unknown })
    .expected;

const rangePoints = (): readonly RangePoint[] =>
  (readExpected('k_numerics') as { studentized_range_upper: RangePoint[] }).studentized_range_upper;

/** The largest comparison with the control of both complete trials in blocks. */
const controlPoints = (): readonly ControlPoint[] =>
  ['a_rcbd_4x4', 'a_rcbd_6x5'].map((name) => {
    const { dunnett } = readExpected(name) as {
      dunnett: { table: { 't.ratio': number }[]; df: number; p_quadrature: number[] };
    };
    const sizes = dunnett.table.map((row) => Math.abs(row['t.ratio']));
    const at = sizes.indexOf(Math.max(...sizes));
    return {
      t: sizes[at],
      comparisons: sizes.length,
      df: dunnett.df,
      p: dunnett.p_quadrature[at],
    };
  });

const half = (m: number): number[][] =>
  Array.from({ length: m }, (_, i) => Array.from({ length: m }, (_, j) => (i === j ? 1 : 0.5)));

type Peer = {
  readonly rangeMs: number | null;
  readonly rangeValues: readonly number[];
  readonly control: readonly { readonly ms: number; readonly error: number }[];
};

function timeR(range: readonly RangePoint[], control: readonly ControlPoint[]): Peer {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  try {
    const file = join(folder, 'points.txt');
    const lines = [
      ...range.map(({ q, nmeans, df }) => `ptukey ${q} ${nmeans} ${df}`),
      ...control.map(({ t, comparisons, df }) => `pmvt ${t} ${comparisons} ${df}`),
    ];
    writeFileSync(file, `${lines.join('\n')}\n`);
    const script = fileURLToPath(new URL('tails.R', import.meta.url));
    const run = spawnSync('Rscript', [script, file], { encoding: 'utf8' });
    const said = run.status === 0 ? run.stdout.trim().split('\n') : [];
    const of = (what: string) =>
      said.map((line) => line.trim().split(' ')).filter(([first]) => first === what);
    const rangeMs = of('ptukey').map(([, ms]) => Number(ms))[0] ?? null;
    return {
      rangeMs,
      rangeValues: of('value').map(([, , p]) => Number(p)),
      control: of('pmvt').map(([, , ms, error]) => ({ ms: Number(ms), error: Number(error) })),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const worst = (got: readonly number[], points: readonly RangePoint[]): number =>
  Math.max(...points.map(({ upper }, i) => Math.abs(got[i] - upper) / upper));

function rangeRow(points: readonly RangePoint[], peer: Peer): Row {
  const answers = () => points.map(({ q, nmeans, df }) => studentizedRangeUpper(q, nmeans, df));
  const total = () => answers().reduce((sum, p) => sum + p, 0);
  const [oursMs] = alternately([total], { warm: 20, rounds: 51 });
  const theirs =
    peer.rangeValues.length === points.length
      ? `, R's ${worst(peer.rangeValues, points).toExponential(1)}`
      : '';
  return {
    name: `studentised range at ${points.length} reference points, R ptukey`,
    oursMs,
    peerMs: peer.rangeMs,
    ratio: peer.rangeMs === null ? null : peer.rangeMs / oursMs,
    note: `worst relative error: ours ${worst(answers(), points).toExponential(1)}${theirs}`,
  };
}

function controlRow(point: ControlPoint, peer: Peer['control'][number] | undefined): Row {
  const { t, comparisons, df, p } = point;
  const correlation = half(comparisons);
  // Each call is a new trial: nothing worked out for one is kept for the next.
  const [oursMs] = alternately([() => dunnettUpper(t, correlation, df)], { warm: 50, rounds: 101 });
  const off = Math.abs(dunnettUpper(t, correlation, df) - p).toExponential(1);
  const theirs =
    peer === undefined ? '' : `; R stopped at an error of ${peer.error.toExponential(1)}`;
  return {
    name: `Dunnett, ${comparisons} with a control, 1e-8, R mvtnorm`,
    oursMs,
    peerMs: peer?.ms ?? null,
    ratio: peer === undefined ? null : peer.ms / oursMs,
    target: 100,
    note: `ours is ${off} from R's double integral${theirs}`,
  };
}

/** Tails of Dunnett's and of the studentised range distribution beside R, with the errors of both. */
export function benchTails(): readonly Row[] {
  const [range, control] = [rangePoints(), controlPoints()];
  const peer = timeR(range, control);
  return [
    ...control.map((point, i) => controlRow(point, peer.control.at(i))),
    rangeRow(range, peer),
  ];
}
