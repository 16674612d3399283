import type { Day, Problem } from '@fairbed/field';
import { names } from './blind';
import type { Paper } from './paper';

/** A finished PDF with what the person printing it should know, or why there is none. */
export type Sheet =
  | { readonly ok: true; readonly bytes: Uint8Array; readonly notes: readonly string[] }
  | { readonly ok: false; readonly problem: Problem };

/** What every sheet is told. */
export type SheetHead = {
  readonly title: string;
  readonly garden?: string | undefined;
  readonly paper: Paper;
  /** Day of printing: stands on the sheet, and dates the file. */
  readonly day: Day;
};

export type SheetPlace = {
  readonly bed: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** A plot on a sheet: its code and where it is. `place` in metres from the bed's south-west corner. */
export type SheetPlot = {
  readonly code: string;
  /** Name of the block. */
  readonly block?: string | undefined;
  readonly place?: SheetPlace | undefined;
};

const fault = (code: string, what: string, remedy: string): Problem => ({
  kind: 'fault',
  code,
  what,
  do: remedy,
});

export const refused = (code: string, what: string, remedy: string): Sheet => ({
  ok: false,
  problem: fault(code, what, remedy),
});

/** Longest code that can stand on a stake or in a plot. */
const longestCode = 24;

/** What is wrong with a list of plots that is to be printed; undefined where nothing is. */
export function faultOfPlots(
  plots: readonly SheetPlot[],
  hidden: readonly string[] = [],
): Problem | undefined {
  if (plots.length === 0) {
    return fault('no-plots', 'The trial has no plots yet.', 'Draw the layout first, then print.');
  }
  const seen = new Set<string>();
  for (const { code } of plots) {
    if (code.trim() === '') {
      return fault('no-code', 'A plot has no code.', 'Give every plot a code, then print.');
    }
    if (code.length > longestCode) {
      return fault(
        'long-code',
        `The code ${code.slice(0, longestCode)}... has ${code.length} letters; a stake has room for ${longestCode}.`,
        'Give the plot a shorter code.',
      );
    }
    if (seen.has(code)) {
      return fault('twice', `Two plots have the code ${code}.`, 'Give one of them another code.');
    }
    if (names(code, hidden)) {
      return fault(
        'code-names-treatment',
        `The code ${code} names a treatment, so the scorer would know it.`,
        'Give the plot another code.',
      );
    }
    seen.add(code);
  }
  return undefined;
}
