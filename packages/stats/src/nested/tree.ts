import type { GroupTerm } from '../mixed/groups';

/**
 * Nested groupings as a tree (or several): nodes are groups, numbered level by level from the finest
 * (plants, then plots, then blocks), so that every node's parent has a higher number.
 */
export type NestedTree = {
  /** Level 0 is the finest; `termOf[level]` is its place among the terms given. */
  readonly termOf: readonly number[];
  /** First node of each level, and the number of nodes at the end. */
  readonly levelStart: Int32Array;
  /** -1 for the coarsest level. */
  readonly parent: Int32Array;
  /** The finest group of each row. */
  readonly leaf: Int32Array;
};

const parentsOf = (fine: GroupTerm, coarse: GroupTerm): Int32Array | undefined => {
  const parent = new Int32Array(fine.size).fill(-1);
  for (let i = 0; i < fine.codes.length; i++) {
    const g = fine.codes[i];
    if (parent[g] === -1) parent[g] = coarse.codes[i];
    else if (parent[g] !== coarse.codes[i]) return undefined;
  }
  return parent;
};

/**
 * Orders the terms from fine to coarse. Undefined when there are none or when some two cross (rows
 * and columns of a square), or when a group holds no row.
 */
export const nestedTree = (terms: readonly GroupTerm[]): NestedTree | undefined => {
  if (terms.length === 0) return undefined;
  const termOf = terms.map((_, k) => k).sort((a, b) => terms[b].size - terms[a].size || a - b);
  const levelStart = new Int32Array(terms.length + 1);
  termOf.forEach((k, level) => {
    levelStart[level + 1] = levelStart[level] + terms[k].size;
  });
  const parent = new Int32Array(levelStart[terms.length]).fill(-1);
  for (let level = 0; level + 1 < termOf.length; level++) {
    const above = parentsOf(terms[termOf[level]], terms[termOf[level + 1]]);
    if (!above || above.includes(-1)) return undefined;
    parent.set(
      above.map((p) => p + levelStart[level + 1]),
      levelStart[level],
    );
  }
  return { termOf, levelStart, parent, leaf: terms[termOf[0]].codes };
};
