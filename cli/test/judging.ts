import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Judgement, Outcome } from '@fairbed/verdict';
import { expect } from 'vitest';
import { judgeCommand, type JudgeFlags } from '../src/judge';

/** A file of this repository, by its path from the root. */
export const inRepository = (path: string): string =>
  fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** `fairbed judge FILE ... --json`, as the command itself runs it. */
export function judgedFile(path: string, flags: JudgeFlags): Judgement {
  const { out, err, status } = judgeCommand(path, { ...flags, json: true });
  expect(status, err).not.toBe(2);
  return JSON.parse(out) as Judgement;
}

export const oracleInput = (name: string): string =>
  inRepository(`packages/stats/oracle/inputs/${name}.csv`);

/** Judges rows written to a CSV of their own. */
export function judgedRows(
  rows: readonly (readonly (string | number)[])[],
  flags: JudgeFlags,
): Judgement {
  const folder = mkdtempSync(join(tmpdir(), 'fairbed-'));
  try {
    const path = join(folder, 'scores.csv');
    writeFileSync(path, rows.map((row) => row.join(',')).join('\n'));
    return judgedFile(path, flags);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

export const outcomeOf = (judgement: Judgement, id: string): Outcome => {
  const found = judgement.outcomes.find((outcome) => outcome.id === id);
  expect(found, `outcome ${id}`).toBeDefined();
  return found!;
};

export function named<T extends { readonly name: string }>(
  rows: readonly T[] | undefined,
  name: string,
): T {
  const found = rows?.find((row) => row.name === name);
  expect(found, name).toBeDefined();
  return found!;
}

/** Within `abs`, or within `rel` of the expected size: the rule the reference answers are given by. */
export function near(
  got: number | null | undefined,
  want: number,
  tol: { rel?: number; abs?: number },
): void {
  expect(got).not.toBeNull();
  const room = Math.max(tol.abs ?? 0, (tol.rel ?? 0) * Math.abs(want));
  expect(Math.abs(got! - want), `${got} for ${want}`).toBeLessThanOrEqual(room);
}

/** Tolerances by kind, as stated with R's answers. */
export const tol = {
  closedForm: { rel: 1e-8, abs: 1e-10 },
  tukeyP: { abs: 1e-6 },
  tukeyLimit: { rel: 2e-5, abs: 2e-5 },
  dunnettQuadrature: { rel: 1e-8, abs: 1e-8 },
  dunnettSimulated: { abs: 5e-6 },
  optimised: { rel: 2e-4, abs: 2e-4 },
  standardError: { rel: 2e-3 },
  sd: { abs: 1e-3 },
  logLik: { abs: 1e-5 },
  printed: (digits: number) => ({ abs: 0.5000001 * 10 ** -digits }),
} as const;
