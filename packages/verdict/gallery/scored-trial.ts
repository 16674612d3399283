import type { DesignKind, Trial } from '@fairbed/trial';

export type ScoredPlot = {
  readonly id: string;
  readonly treatment: string;
  readonly block: string;
  readonly severity: number;
};

/** A trial for tests: one round of severities, the first treatment named the control. */
export function scoredTrial(kind: DesignKind, plots: readonly ScoredPlot[]): Trial {
  const treatments = [...new Set(plots.map(({ treatment }) => treatment))].sort();
  return {
    format: 'fairbed-trial',
    version: 1,
    id: 'made',
    title: 'made',
    diseases: [{ id: 'd', name: 'disease' }],
    beds: [],
    plants: [],
    times: [],
    sprays: [],
    events: [],
    harvests: [],
    treatments: treatments.map((name) => ({ id: name, name, kind: 'unstated' as const })),
    control: treatments[0],
    design: { kind, randomised: true },
    blocks: [...new Set(plots.map(({ block }) => block))].map((id) => ({ id, name: id })),
    plots: plots.map(({ id, treatment, block }) => ({ id, treatment, block })),
    rounds: [{ id: 'r' }],
    scores: plots.map(({ id, severity }) => ({ plot: id, round: 'r', severity })),
  };
}
