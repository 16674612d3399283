import type { Grouping, PlotTable } from './table';

/**
 * How the treatments of a split plot hang together. What a plot is given counts as one treatment;
 * those that stand together in one whole plot share the practice of that whole plot.
 */
export type Practices = {
  readonly wholePlot: Grouping;
  /** Of every plot, its practice. One level: no treatment is tied to a practice. */
  readonly practice: Grouping;
  /** Of every plot, what it has beside its practice, where all practices have the same. */
  readonly within: Grouping | undefined;
};

/** Treatments that stand, directly or by others, in one whole plot: the practice of each. */
function linked(treatment: Grouping, wholePlot: Grouping): number[] {
  const parent = treatment.levels.map((_, i) => i);
  const find = (i: number): number => {
    const up = parent[i] ?? i;
    return up === i ? i : find(up);
  };
  const first = new Map<number, number>();
  treatment.codes.forEach((code, plot) => {
    const whole = wholePlot.codes[plot] ?? 0;
    const other = first.get(whole);
    if (other === undefined) first.set(whole, code);
    else parent[find(code)] = find(other);
  });
  return parent.map((_, i) => find(i));
}

const wordsOf = (name: string): string[] =>
  name
    .toLowerCase()
    .split(/[\s,;:/+&()]+/)
    .filter((word) => word !== '');

/** Words that all names share, in the order of the first. */
const shared = (names: readonly (readonly string[])[]): string[] =>
  (names[0] ?? []).filter((word) => names.every((other) => other.includes(word)));

type Hand = { readonly codes: readonly number[]; readonly common: readonly string[] };

/**
 * What each treatment has beside its practice: its name without the words that all names of its
 * practice share. Undefined unless that leaves every practice with the same list.
 */
function besides(hands: readonly Hand[], names: readonly (readonly string[])[]) {
  if (hands.length < 2) return undefined;
  const rest = new Map<number, string>();
  const lists = hands.map(({ codes, common }) =>
    codes.map((code) => {
      const left = (names[code] ?? []).filter((word) => !common.includes(word)).join(' ');
      rest.set(code, left);
      return left;
    }),
  );
  const wanted = new Set(lists[0]);
  const alike = lists.every(
    (list) =>
      list.length === wanted.size &&
      new Set(list).size === wanted.size &&
      list.every((one) => wanted.has(one)),
  );
  return alike && wanted.size > 1 ? rest : undefined;
}

/** Reads practices off whole plots and names; undefined for a trial without whole plots. */
export function practicesOf({ treatment, wholePlot }: PlotTable): Practices | undefined {
  if (wholePlot === undefined) return undefined;
  const roots = linked(treatment, wholePlot);
  const order = [...new Set(roots)];
  const names = treatment.levels.map(wordsOf);
  const hands = order.map((root): Hand => {
    const codes = roots.flatMap((one, code) => (one === root ? [code] : []));
    return { codes, common: shared(codes.map((code) => names[code] ?? [])) };
  });
  const rest = besides(hands, names);
  const levels = [...new Set(rest?.values())];
  return {
    wholePlot,
    practice: {
      levels: hands.map(({ codes, common }) =>
        common.length > 0
          ? common.join(' ')
          : codes.map((code) => treatment.levels[code] ?? '').join(' / '),
      ),
      codes: treatment.codes.map((code) => order.indexOf(roots[code] ?? -1)),
    },
    within: rest && {
      levels,
      codes: treatment.codes.map((code) => levels.indexOf(rest.get(code) ?? '')),
    },
  };
}
