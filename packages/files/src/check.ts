import type { Problem } from '@fairbed/field';
import { guessMapping } from './guess';
import type { Mapping } from './mapping';
import { isDataPackage, packageToTrial } from './openpackage';
import { readTable } from './readtable';
import type { TrialOptions } from './found';
import { type RowCount, tableToTrial } from './totrial';

export type Checked = { readonly faults: readonly Problem[]; readonly rows: RowCount };

/**
 * Everything that is wrong, open or odd in a scores file or a data package: what reading the file,
 * guessing the columns (without a `mapping`) and building the trial found. In a package, rows are
 * its scores.
 */
export function checkFile(
  bytes: Uint8Array,
  fileName: string,
  mapping?: Mapping,
  options: TrialOptions = {},
): Checked {
  if (isDataPackage(bytes)) {
    const { trial, problems } = packageToTrial(bytes, fileName);
    const read = trial?.scores.length ?? 0;
    return { faults: problems, rows: { read, used: read, set_aside: 0 } };
  }
  const { table, problems } = readTable(bytes, fileName);
  if (table === undefined) return { faults: problems, rows: { read: 0, used: 0, set_aside: 0 } };
  const guessed = mapping === undefined ? guessMapping(table) : { mapping, questions: [] };
  const built = tableToTrial(table, guessed.mapping, options);
  return { faults: once([...problems, ...guessed.questions, ...built.faults]), rows: built.rows };
}

/** The guess and the reading can ask the same thing of the same place: say it once. */
function once(problems: readonly Problem[]): Problem[] {
  const said = new Set<string>();
  return problems.filter((p) => {
    const key = JSON.stringify([
      p.code,
      p.row,
      p.column,
      p.row === undefined && p.column === undefined ? '' : p.what,
    ]);
    const fresh = p.kind !== 'question' || !said.has(key);
    said.add(key);
    return fresh;
  });
}
