import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { classicalBounds, type Spending, spendingBounds } from '@fairbed/stats';
import { alternately, type Row } from './timing';

const SPENDINGS: readonly Spending[] = [
  { kind: 'obrien-fleming' },
  { kind: 'pocock' },
  { kind: 'power', exponent: 2 },
];

/** Bounds of 2 to 6 equal looks at three error rates: three classical ones, three by spending. */
function allDesigns(): number {
  let sum = 0;
  for (let looks = 2; looks <= 6; looks++) {
    const information = Array.from({ length: looks }, (_, k) => (k + 1) / looks);
    for (const alpha of [0.05, 0.01, 0.1]) {
      for (const shape of [0, 0.5, 0.25]) {
        sum += classicalBounds({ information, alpha, shape }).constant;
      }
      for (const spending of SPENDINGS) {
        sum += spendingBounds({ information, alpha, spending }).z[looks - 1];
      }
    }
  }
  return sum;
}

function timeR(): number | null {
  const script = fileURLToPath(new URL('sequential.R', import.meta.url));
  const { status, stdout } = spawnSync('Rscript', [script], { encoding: 'utf8' });
  return status === 0 ? Number(stdout.trim().split(' ')[1]) : null;
}

/** Bounds for several looks against the same recursion in R, vectorised over its nodes. */
export function benchSequential(): readonly Row[] {
  const peerMs = timeR();
  const [oursMs] = alternately([allDesigns], { warm: 3, rounds: 15 });
  return [
    {
      name: '90 designs of 2 to 6 looks, R recursion',
      oursMs,
      peerMs,
      ratio: peerMs === null ? null : peerMs / oursMs,
      target: 20,
    },
  ];
}
