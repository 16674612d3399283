import { logGamma } from '../distributions/gamma-function';

/**
 * What is believed of a standard deviation before the data: exponential with a mean (any size up to
 * a few times that, zero included), or an estimate `sd` on `df` degrees of freedom from elsewhere
 * (df sd^2 / sigma^2 follows a chi-square).
 */
export type SdPrior =
  | { readonly kind: 'exponential'; readonly mean: number }
  | { readonly kind: 'spread'; readonly sd: number; readonly df: number };

/** A size to begin with: where the prior has its bulk. */
export const priorSize = (prior: SdPrior): number =>
  prior.kind === 'exponential' ? prior.mean : prior.sd;

/** The log-density of a standard deviation above 0; the second after Gelman et al. 2013, appendix A. */
export const priorLogDensity = (prior: SdPrior): ((sd: number) => number) => {
  if (prior.kind === 'exponential') {
    const constant = -Math.log(prior.mean);
    return (sd) => constant - sd / prior.mean;
  }
  const { df, sd: s } = prior;
  const constant = Math.LN2 + (df / 2) * Math.log(df / 2) - logGamma(df / 2) + df * Math.log(s);
  return (sd) => constant - (df + 1) * Math.log(sd) - (df * s * s) / (2 * sd * sd);
};
