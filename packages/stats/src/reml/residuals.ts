import { pictured, type ValueResidual } from '../linear/diagnostics';
import { covarianceOf, serialMatrix } from './covariance';
import type { RemlFit } from './fit';
import { projection } from './likelihood';

/**
 * Residuals of a REML fit for its pictures, in the order of `y`: what is left when fixed and random
 * effects (as predicted) are taken off, R P y with R the residual covariance and P as in the
 * likelihood. Its variance is R P R; the leverage is the share of the residual variance that the
 * model takes, 1 - (R P R)_ii / R_ii. Without random effects these are those of least squares.
 */
export function remlResiduals(fit: RemlFit): ValueResidual[] {
  const { model, place } = fit;
  const terms = model.random.length;
  const variance = place.theta[terms];
  const residuals = new Float64Array(model.n);
  const errors = new Float64Array(model.n);
  const leverages = new Float64Array(model.n);
  for (const one of place.solved) {
    const { part, s } = one;
    const { size, gaps, rows, spread } = part;
    const r = gaps
      ? serialMatrix(gaps, place.theta[terms + 1], 'correlation').map((v) => v * variance)
      : covarianceOf({ ...model, random: [] }, { ...part, codes: [] }, Float64Array.of(variance));
    const p = projection(one, place.phi, model.p);
    for (let a = 0; a < size; a++) {
      let residual = 0;
      let own = 0;
      for (let b = 0; b < size; b++) {
        const weight = r[a * size + b];
        if (weight === 0) continue;
        residual += weight * s[b];
        for (let c = 0; c < size; c++) own += weight * p[b * size + c] * r[c * size + a];
      }
      residuals[rows[a]] = residual * spread[a];
      errors[rows[a]] = Math.sqrt(own) * spread[a];
      leverages[rows[a]] = Math.max(0, 1 - own / variance);
    }
  }
  const fitted = residuals.map((residual, i) => fit.linear.y[i] - residual);
  return pictured(fitted, residuals, leverages, (i) => errors[i]);
}
