import { type LayoutRequest, plotCount } from './request';

export type Effort = {
  /** Plants scored at a round; guard plants are not. */
  readonly plants: number;
  /** Whole minutes, rounded up. */
  readonly minutesPerRound: number;
  /** What the minutes rest on, as a sentence. */
  readonly assumed: string;
};

/** Our own guess for counting leaves on a phone; the app can say better after a first round. */
const secondsPerPlant = 30;
const secondsPerPlot = 20;

/** Plants and minutes of one round. Wants a request without fault and 1 plant a plot or more. */
export function effort(request: LayoutRequest & { readonly plantsPerPlot: number }): Effort {
  const plots = plotCount(request);
  const plants = plots * request.plantsPerPlot;
  return {
    plants,
    minutesPerRound: Math.ceil((plants * secondsPerPlant + plots * secondsPerPlot) / 60),
    assumed: `Assumed: ${secondsPerPlant} seconds a plant and ${secondsPerPlot} seconds to find each plot.`,
  };
}
