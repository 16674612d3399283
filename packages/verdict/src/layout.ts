import type { LayoutSet } from '@fairbed/stats';
import { type DesignKind, layoutsOf, type Trial } from '@fairbed/trial';
import type { PlotTable } from './table';

/** How a trial was laid out, as far as its analysis needs to know. */
export type Layout = {
  readonly kind: DesignKind;
  readonly latin: boolean;
  /** False for layouts that this version describes but does not judge. */
  readonly judged: boolean;
  readonly set: LayoutSet | undefined;
  /** Layouts the draw could have given, decimal text. */
  readonly count: string;
  readonly blocks: number;
  /** What the draw shuffled, for a sentence. */
  readonly what: string;
  /** Groupings the F statistic is adjusted for. */
  readonly adjust: (table: PlotTable) => readonly Int32Array[];
  readonly notes: readonly string[];
};

const shuffled: Readonly<Record<DesignKind, string>> = {
  'completely-randomised': 'treatments shuffled over all plots',
  'randomised-blocks': 'treatments shuffled within each block',
  'incomplete-blocks': 'treatments shuffled within each block',
  'latin-square': 'every square with each treatment once in each row and column',
  'split-plot': 'whole plots shuffled within blocks, then plots within whole plots',
  unreplicated: 'treatments shuffled over all plots',
};

/** Reads the layout of a trial from its design and plots. */
export function layoutFor(trial: Trial, table: PlotTable): Layout {
  const { kind } = trial.design;
  const latin = kind === 'latin-square' && table.row !== undefined && table.column !== undefined;
  const split = kind === 'split-plot';
  const layouts = layoutsOf(trial);
  const count = layouts === undefined ? '0' : layouts.count.toString();
  return {
    kind,
    latin,
    judged: !split || table.wholePlot !== undefined,
    set: split && table.wholePlot === undefined ? undefined : layouts?.set,
    count,
    blocks: latin ? table.row.levels.length : 1,
    what: shuffled[kind],
    adjust: (of) => {
      if (latin && of.row && of.column) return [of.row.codes, of.column.codes];
      return of.block && of.block.levels.length > 1 ? [of.block.codes] : [];
    },
    notes: [
      ...(layouts?.notes ?? []).map(({ what }) => what),
      ...(split && table.wholePlot === undefined
        ? [
            'A split plot is judged by its whole plots, and not every plot says which one it lies in, so this trial is described and not judged.',
          ]
        : []),
      ...(layouts === undefined
        ? ['The layout can’t be made out from rows and columns, so it has no test of its own.']
        : []),
    ],
  };
}
