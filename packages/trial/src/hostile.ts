import type { Problem } from '@fairbed/field';

/** A trial document is five levels deep; a little more leaves room for later versions. */
const deepest = 12;
const forbidden = new Set(['__proto__', 'constructor', 'prototype']);

type Step = { readonly value: unknown; readonly path: string; readonly depth: number };

const fault = (code: string, what: string, remedy: string): Problem => ({
  kind: 'fault',
  code,
  what,
  do: remedy,
});

/**
 * Looks through parsed JSON for what no trial document holds and what could do harm: keys that
 * reach an object's prototype, and nesting deeper than twelve levels. Walks with a list of its
 * own, not by recursion, so that a file nested a million deep can't exhaust the stack. Returns the
 * first such problem, or undefined.
 */
export function findHostile(json: unknown): Problem | undefined {
  const waiting: Step[] = [{ value: json, path: '', depth: 0 }];
  for (let step = waiting.pop(); step !== undefined; step = waiting.pop()) {
    const { value, path, depth } = step;
    if (typeof value !== 'object' || value === null) continue;
    if (depth >= deepest) {
      return fault(
        'nested-too-deep',
        `At ${path.slice(0, 120)}: nested more than ${deepest} levels deep. No trial document is.`,
        'Check where the file comes from; do not use it.',
      );
    }
    for (const key of Object.keys(value)) {
      if (forbidden.has(key)) {
        return fault(
          'forbidden-key',
          `At ${path === '' ? 'the top' : path}: the key "${key}" is not allowed in a trial document.`,
          'Check where the file comes from; do not use it.',
        );
      }
      const child = (value as Record<string, unknown>)[key];
      if (typeof child === 'object' && child !== null) {
        waiting.push({
          value: child,
          path: path === '' ? key : `${path}.${key}`,
          depth: depth + 1,
        });
      }
    }
  }
  return undefined;
}
