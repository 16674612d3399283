import type { Problem } from '@fairbed/field';
import type { Said } from './speech';
import { words } from './words';

type Where = { readonly file?: string; readonly row?: number; readonly column?: string };

/** Codes of everything this room can find wrong, ask or note. */
export type FileCode = keyof typeof words;

/** The problem of that code, in words, at that place. */
export function say<C extends FileCode>(
  code: C,
  where: Where,
  ...args: Parameters<(typeof words)[C]>
): Problem {
  const speak = words[code] as (...args: Parameters<(typeof words)[C]>) => Said;
  const { kind, what, do: todo } = speak(...args);
  return {
    kind,
    code,
    ...(where.file === undefined ? {} : { file: where.file }),
    ...(where.row === undefined ? {} : { row: where.row }),
    ...(where.column === undefined ? {} : { column: where.column }),
    what,
    do: todo,
  };
}
