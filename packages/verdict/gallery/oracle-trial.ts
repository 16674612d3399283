import { readFileSync } from 'node:fs';
import type { Trial } from '@fairbed/trial';
import { scoredTrial } from './scored-trial';

export type OracleRow = Readonly<Record<string, string>>;

/** A table that R's answers were made from. */
export function oracleRows(name: string): OracleRow[] {
  const file = new URL(`../../stats/oracle/inputs/${name}.csv`, import.meta.url);
  const [head = '', ...lines] = readFileSync(file, 'utf8').trim().split(/\r?\n/);
  const names = head.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((key, i) => [key, cells[i] ?? '']));
  });
}

/** R's answers of a case. */
export const oracleAnswers = (name: string): unknown =>
  (
    JSON.parse(
      readFileSync(new URL(`../../stats/oracle/${name}.json`, import.meta.url), 'utf8'),
    ) as { expected: unknown }
  ).expected;

/** The plots of such a table, treatment by block, without any score; treatment A is the control. */
export function plotsOnly(rows: readonly OracleRow[]): Trial {
  const seen = new Map(rows.map(({ block = '', trt = '' }) => [`${block}${trt}`, { block, trt }]));
  const plots = [...seen].map(([id, { block, trt }]) => ({
    id,
    treatment: trt,
    block,
    severity: 0,
  }));
  return { ...scoredTrial('randomised-blocks', plots), scores: [] };
}
