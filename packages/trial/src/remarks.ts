import type { Problem } from '@fairbed/field';

/** Collects problems, the first few of each code in full and the rest as a number. */
export type Remarks = {
  readonly add: (problem: Problem) => void;
  readonly list: () => readonly Problem[];
};

/** A hundred thousand rows with one fault each make fifty sentences and a number. */
export function createRemarks(most = 50): Remarks {
  const kept: Problem[] = [];
  const seen = new Map<string, { count: number; readonly kind: Problem['kind'] }>();
  return {
    add: (problem) => {
      const entry = seen.get(problem.code) ?? { count: 0, kind: problem.kind };
      entry.count++;
      seen.set(problem.code, entry);
      if (entry.count <= most) kept.push(problem);
    },
    list: () => [
      ...kept,
      ...[...seen]
        .filter(([, { count }]) => count > most)
        .map(
          ([code, { count, kind }]): Problem => ({
            kind,
            code,
            what: `${count - most} more of this sort (${code}).`,
            do: 'See those listed.',
          }),
        ),
    ],
  };
}
