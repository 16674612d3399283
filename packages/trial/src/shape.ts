import type { Problem } from '@fairbed/field';
import type { z } from 'zod/mini';

/** What zod says of one wrong place, as far as we read it. */
type Issue = z.core.$ZodIssue;

const shown = (value: unknown): string => {
  if (value === undefined) return 'nothing';
  if (value === null) return 'null';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object') return 'a group of fields';
  if (typeof value === 'string') return value === '' ? 'an empty text' : `"${value.slice(0, 60)}"`;
  return typeof value === 'number' || typeof value === 'boolean' ? `${value}` : typeof value;
};

const valueAt = (root: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null
        ? (value as Record<PropertyKey, unknown>)[key]
        : undefined,
    root,
  );

const typeWords: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  object: 'a group of fields',
};

function expected(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return typeWords[issue.expected] ?? issue.expected;
    case 'invalid_value':
      return `one of ${issue.values.map(String).join(', ')}`;
    case 'too_small':
      if (issue.origin === 'string') return 'a text that is not empty';
      return issue.origin === 'array'
        ? `a list of ${issue.minimum} or more`
        : `${issue.minimum} or more`;
    case 'too_big':
      return issue.origin === 'string'
        ? `a text of at most ${issue.maximum} signs`
        : `${issue.maximum} or less`;
    case 'custom':
    case 'invalid_format':
      return issue.message.replace(/^must be /, '');
    default:
      return 'something else';
  }
}

/** A sentence for each place where a document has not the shape of a trial. */
export function shapeProblems(issues: readonly Issue[], raw: unknown): Problem[] {
  return issues.map((issue) => {
    const path = issue.path.map(String).join('.');
    const found = valueAt(raw, issue.path);
    return {
      kind: 'fault',
      code: found === undefined ? 'missing' : 'wrong-value',
      what: `At ${path === '' ? 'the top' : path}: expected ${expected(issue)}, got ${shown(found)}.`,
      do:
        found === undefined
          ? 'Add it. docs/trial-format.md has the whole shape.'
          : 'Correct it. docs/trial-format.md has the whole shape.',
    };
  });
}

/**
 * Fields of the document that this version does not know, each path once with list places left
 * out (`scores.*.colour`). They are not read, and the reader is told so.
 */
export function unknownFields(raw: unknown, read: unknown, limit = 20): Problem[] {
  const found = new Set<string>();
  const waiting: [unknown, unknown, string][] = [[raw, read, '']];
  for (let next = waiting.pop(); next !== undefined && found.size < limit; next = waiting.pop()) {
    const [from, to, path] = next;
    if (typeof from !== 'object' || from === null || typeof to !== 'object' || to === null)
      continue;
    const list = Array.isArray(from);
    for (const key of Object.keys(from)) {
      const value = (from as Record<string, unknown>)[key];
      const place = list ? '*' : key;
      const here = path === '' ? place : `${path}.${place}`;
      if (!(key in to)) found.add(here);
      else if (typeof value === 'object') {
        waiting.push([value, (to as Record<string, unknown>)[key], here]);
      }
    }
  }
  return [...found].map((path) => ({
    kind: 'note',
    code: 'unknown-field',
    what: `At ${path}: this version of the trial document has no such field, so it was not read.`,
    do: 'Check the spelling, or put it in a note.',
  }));
}
