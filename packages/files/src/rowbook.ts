import type { Problem } from '@fairbed/field';
import { limits } from './limits';
import type { Table } from './table';
import { say } from './say';

/** Keeps account of every data row: used, or set aside with its reason. */
export type RowBook = {
  readonly table: Table;
  /** 1 for a row (0-based data row) that is set aside. */
  readonly aside: Uint8Array;
  /** 1 for a row that is no plot at all (repeated headings, totals): nothing more is asked of it. */
  readonly noData: Uint8Array;
  /** The number of a data row as the spreadsheet shows it. */
  readonly shown: (row: number) => number;
  /** Sets a row aside for this reason. A row can have several. */
  readonly setAside: (row: number, reason: Problem) => void;
  /** Sets a row aside for a reason that {@link add} gives once for many. */
  readonly setAsideAlso: (row: number) => void;
  /** A problem that sets no row aside by itself. */
  readonly add: (problem: Problem) => void;
  readonly problems: () => Problem[];
};

/** An empty account of a table's rows. Beyond `limits.listed` reasons, the rest are counted. */
export function rowBook(table: Table): RowBook {
  const aside = new Uint8Array(table.rows);
  const problems: Problem[] = [];
  let unlisted = 0;
  return {
    table,
    aside,
    noData: new Uint8Array(table.rows),
    shown: (row) => table.rowNumbers[row] ?? 0,
    setAside(row, reason) {
      aside[row] = 1;
      if (problems.length < limits.listed) problems.push(reason);
      else unlisted++;
    },
    setAsideAlso: (row) => void (aside[row] = 1),
    add: (problem) => void problems.push(problem),
    problems: () =>
      unlisted > 0 ? [...problems, say('more-faults', { file: table.file }, unlisted)] : problems,
  };
}
