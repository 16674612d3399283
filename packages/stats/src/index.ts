export {
  createRandom,
  randomFromState,
  type Random,
  type RandomState,
  type Shufflable,
} from './random';
export type { Tail } from './distributions/arguments';
export { betaCdf, betaQuantile, betaUpper } from './distributions/beta';
export {
  betaBinomialDensity,
  binomialDensity,
  clopperPearson,
  hypergeometricCdf,
  hypergeometricUpper,
  type ExactInterval,
  type Urn,
} from './distributions/counts';
export { fCdf, fQuantile, fUpper } from './distributions/fisher';
export {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareUpper,
  gammaCdf,
  gammaQuantile,
  gammaUpper,
} from './distributions/gamma';
export { digamma, logGamma } from './distributions/gamma-function';
export {
  noncentralFCdf,
  noncentralFUpper,
  noncentralTCdf,
  noncentralTUpper,
} from './distributions/noncentral';
export { normalCdf, normalDensity, normalQuantile, normalUpper } from './distributions/normal';
export { rankSumCdf, signedRankCdf } from './distributions/rank-sums';
export { tCdf, tQuantile, tTwoSided, tUpper } from './distributions/student';
export { studentizedRangeQuantile, studentizedRangeUpper } from './distributions/studentized-range';
