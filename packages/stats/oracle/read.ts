import { readFileSync } from 'node:fs';
import type { Factor } from '../src/linear/design';

export type Row = Readonly<Record<string, string>>;

function textOf(file: string): string {
  return readFileSync(new URL(file, import.meta.url), 'utf8');
}

/** What R answered for a case; the test says what shape it expects. */
export function readAnswers(name: string): unknown {
  return (JSON.parse(textOf(`${name}.json`)) as { expected: unknown }).expected;
}

/** The rows of an input: plain CSV without quotes, headings first. */
export function readTable(name: string): Row[] {
  const [head, ...lines] = textOf(`inputs/${name}.csv`).trim().split(/\r?\n/);
  const names = head.split(',');
  return lines.map((line) => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((heading, i) => [heading, cells[i]]));
  });
}

export function numbersOf(rows: readonly Row[], name: string): number[] {
  return rows.map((row) => Number(row[name]));
}

/** A column as a factor, levels sorted as R does. */
export function factorOf(rows: readonly Row[], name: string): Factor {
  return factorFrom(
    name,
    rows.map((row) => row[name]),
  );
}

export function factorFrom(name: string, labels: readonly string[]): Factor {
  const levels = [...new Set(labels)].sort();
  return { kind: 'factor', name, codes: labels.map((label) => levels.indexOf(label)), levels };
}
