import type { Plot, Treatment, Trial } from '../schema';

/** What a screen may show of a plot. `treatment` is absent until the reveal. */
export type PlotName = {
  readonly id: string;
  /** What the stake says; the plot's id where it has no stake. */
  readonly code: string;
  readonly treatment?: Treatment;
};

export type Names = {
  readonly revealed: boolean;
  /** Undefined where the layout has no such plot. */
  readonly plot: (id: string) => PlotName | undefined;
  readonly plots: readonly PlotName[];
  /** The plot whose stake bears the code, in capital or small letters. */
  readonly withCode: (code: string) => PlotName | undefined;
};

const nameOf = (plot: Plot, treatments: ReadonlyMap<string, Treatment> | undefined): PlotName => {
  const treatment = treatments?.get(plot.treatment);
  const code = plot.code ?? plot.id;
  return treatment === undefined ? { id: plot.id, code } : { id: plot.id, code, treatment };
};

/**
 * The names by which screens call plots: the code of the stake alone until the codes are revealed,
 * with the treatment after that. A trial that never had codes has nothing to reveal. A screen for
 * the scorer takes its plots from here and not from the trial, so that it can't tell by mistake.
 */
export function namesOf(
  trial: Pick<Trial, 'plots' | 'treatments' | 'reveal'>,
  revealed: boolean = trial.reveal !== undefined ||
    trial.plots.every(({ code }) => code === undefined),
): Names {
  const treatments = revealed
    ? new Map(trial.treatments.map((treatment) => [treatment.id, treatment]))
    : undefined;
  const plots = trial.plots.map((plot) => nameOf(plot, treatments));
  const byId = new Map(plots.map((plot) => [plot.id, plot]));
  const byCode = new Map(plots.map((plot) => [plot.code.toUpperCase(), plot]));
  return {
    revealed,
    plots,
    plot: (id) => byId.get(id),
    withCode: (code) => byCode.get(code.trim().toUpperCase()),
  };
}
