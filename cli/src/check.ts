import { basename } from 'node:path';
import { type Problem, problemLine } from '@fairbed/field';
import { leafBalance } from '@fairbed/trial';
import { mappingOf } from './columns';
import { load } from './input';
import { type Done, type JudgeFlags, trialOptions, wrongColumn } from './judge';

const order = { fault: 0, question: 1, note: 2 } as const;

/** Everything wrong, open or odd: in the file, and in the leaf balance of what could be read. */
export function checkCommand(path: string, flags: JudgeFlags): Done {
  const loaded = load(path, mappingOf(flags), trialOptions(flags));
  const wrong = wrongColumn(loaded.problems);
  if (wrong !== undefined) {
    return { out: '', err: `fairbed check: ${problemLine(wrong)}\n`, status: 2 };
  }
  const balance = loaded.trial === undefined ? [] : leafBalance(loaded.trial).problems;
  const file = basename(path);
  const problems = [...loaded.problems, ...balance.map((problem) => ({ file, ...problem }))].sort(
    (a, b) => order[a.kind] - order[b.kind],
  );
  const { rows } = loaded;
  const status = problems.some(({ kind }) => kind !== 'note') ? 1 : 0;
  if (flags.json === true) {
    const faults = problems.map(({ kind, code, row, column, what, do: remedy }) => ({
      file,
      row: row ?? null,
      column: column ?? null,
      what,
      do: remedy,
      kind,
      code,
    }));
    return { out: `${JSON.stringify({ faults, rows })}\n`, err: '', status };
  }
  return { out: printed(problems, rows), err: '', status };
}

function printed(
  problems: readonly Problem[],
  rows: { read: number; used: number; set_aside: number },
): string {
  const count = `${rows.read} rows read, ${rows.used} used, ${rows.set_aside} set aside.`;
  if (problems.length === 0) return `Nothing wrong was found. ${count}\n`;
  const mark = { fault: 'FAULT   ', question: 'QUESTION', note: 'note    ' } as const;
  return `${problems.map((problem) => `${mark[problem.kind]} ${problemLine(problem)}`).join('\n')}\n\n${count}\n`;
}
