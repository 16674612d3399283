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
export {
  fitBetaBinomial,
  type BetaBinomialFit,
  type BetaBinomialInput,
} from './mixed/beta-binomial';
export {
  fitBinomialMixed,
  type BinomialMixedFit,
  type BinomialMixedInput,
  type Overdispersion,
} from './mixed/binomial-mixed';
export type { Coefficient, FittedGrouping, Threshold } from './mixed/coefficients';
export {
  ModelError,
  type FixedEffects,
  type FixedFactor,
  type MergedGrouping,
  type RandomGrouping,
} from './mixed/design';
export type { FitHow, Penalised } from './mixed/engine';
export {
  leastSquaresGrades,
  type GradeEstimate,
  type LevelGrades,
} from './mixed/grade-probabilities';
export {
  fewPlotsTest,
  type FewPlotsTest,
  type PlotDegrees,
  plotWidening,
  type Shift,
  type Shifts,
  shiftsVersusControl,
} from './mixed/few-plots';
export { plainLikelihoodRatio, type PlainLikelihoodRatio } from './mixed/likelihood-ratio';
export { type OddsCheck, oddsCheck } from './mixed/ordinal-odds-check';
export {
  fitOrdinalMixed,
  type OrdinalMixedFit,
  type OrdinalMixedInput,
} from './mixed/ordinal-mixed';
export {
  leastSquaresProbabilities,
  probabilityContrasts,
  type CountFit,
  type LevelProbability,
  type ProbabilityContrast,
} from './mixed/probabilities';
export { allPairs, versusControl } from './linear/compare';
export type {
  Comparison,
  ControlComparisons,
  ControlMethod,
  PairComparisons,
} from './linear/compare';
export { contrast, contrastCovariance, slope } from './linear/contrast';
export type { Estimate, Weights } from './linear/contrast';
export { crossFactors } from './linear/design';
export type { Covariate, Factor, Term } from './linear/design';
export { residualsOf } from './linear/diagnostics';
export type { ValueResidual } from './linear/diagnostics';
export { abbottEfficacy, hendersonTilton } from './linear/efficacy';
export type { Efficacy, EfficacyMissing } from './linear/efficacy';
export { adjustedRow, fitLinear } from './linear/fit';
export type { Aliased, AnovaRow, LinearFit } from './linear/fit';
export { boxCox, type BoxCox } from './linear/box-cox';
export { letters } from './linear/letters';
export { leastSquaresMeans } from './linear/lsmeans';
export type { LeastSquaresMean, LeastSquaresMeans } from './linear/lsmeans';
export { logRatioInterval, ratioInterval } from './linear/ratio';
export type { RatioInput, RatioInterval } from './linear/ratio';
export {
  chooseScale,
  leaveFrom,
  offScale,
  onScale,
  scaleFor,
  trimFrom,
  type Scale,
  type ScaleChoice,
  type ScaleName,
} from './linear/scale';
export { NOTHING } from './linear/spread';
export type { Missing, Spread } from './linear/spread';
export { blockedRankScores, blockedRankTest } from './ranks/blocked-ranks';
export { friedman } from './ranks/friedman';
export type { RankTest } from './ranks/friedman';
export { kruskalWallis } from './ranks/kruskal-wallis';
export { midRanks } from './ranks/ranks';
export type { Ranks } from './ranks/ranks';
export { scoresByPlot, scoreTest } from './ranks/score-test';
export type { Between } from './survival/cells';
export { curveWithLimits, type CurvePoint, type MedianStretch } from './survival/curve-limits';
export { fitGroupedHazards, type GroupedHazardsFit } from './survival/grouped-hazards';
export { logRankScores } from './survival/interval-scores';
export { kaplanMeier } from './survival/kaplan-meier';
export type { Follow, KaplanMeier, MedianTime, SurvivalStep } from './survival/kaplan-meier';
export { logRank } from './survival/log-rank';
export type { LogRank } from './survival/log-rank';
export { turnbull, type Turnbull } from './survival/turnbull';
export { exactTest } from './exact/exact-test';
export type {
  ExactComparison,
  ExactRefusal,
  ExactTest,
  ExactTestOptions,
} from './exact/exact-test';
export { countLayouts, smallestShare } from './exact/layout-set';
export type { LayoutSet, WholePlots } from './exact/layout-set';
export { jointRelabelings } from './exact/joint-relabelings';
export type { JointRelabelings, JointRequest } from './exact/joint-relabelings';
export { stepDownFamily } from './exact/step-down-family';
export type { Family, FamilyMember, FamilyRequest } from './exact/step-down-family';
export { splitPlotTest } from './exact/split-plot-test';
export type { SplitPlotRequest, SplitPlotTest, StratumTest } from './exact/split-plot-test';
export { shiftInterval } from './exact/shift-interval';
export type { ShiftInterval, ShiftRequest } from './exact/shift-interval';
export { pairInterval } from './exact/pair-interval';
export type { PairInterval, PairReason, PairRequest } from './exact/pair-interval';
export type { Correlation } from './distributions/correlation';
export {
  dunnett,
  dunnettQuantile,
  dunnettTail,
  dunnettUpper,
  type Dunnett,
  type DunnettRoute,
  type DunnettTail,
} from './distributions/dunnett';
export {
  classicalBounds,
  spendingBounds,
  stoppingChances,
  type Bounds,
} from './sequential/bounds';
export { earliestLook, smallestDifferenceShare } from './sequential/earliest-look';
export {
  layoutLooks,
  type LayoutLook,
  type LayoutLooks,
  type LayoutLooksRequest,
  type LookAtPlots,
  type TreatmentLook,
} from './sequential/layout-looks';
export { pairIntervalsOfLooks } from './sequential/pair-looks';
export { repeatedIntervals, repeatedPValues } from './sequential/repeated';
export { alphaSpent, type Spending } from './sequential/spending';
export { fitReml } from './reml/fit';
export type { RemlFit, RemlRefusal, SerialFit, VarianceComponent } from './reml/fit';
export type { LeftOut, RandomTerm } from './reml/groupings';
export { precisionOf } from './reml/information';
export type { DfMethod, Precision } from './reml/information';
export {
  remlAbbott,
  remlAllPairs,
  remlContrasts,
  remlMeans,
  remlVersusControl,
} from './reml/means';
export type { RemlComparison, RemlControl, RemlMeans, RemlPairs } from './reml/means';
export type { RemlInput } from './reml/model';
export { remlResiduals } from './reml/residuals';
export type { SerialTimes } from './reml/serial';
export { termTest } from './reml/wald';
export type { WaldTest } from './reml/wald';
export {
  asShifts,
  type CountComparison,
  countsVersusControl,
  countsWald,
  populationProbabilities,
} from './mixed/count-comparisons';
export { bootstrapTreatment, type TreatmentBootstrap } from './nested/bootstrap';
export { createNestedFitter, type NestedFitter, type NestedLayout } from './nested/fitter';
export { simulateCounts, type CountsPlan } from './nested/simulate';
export {
  createTreatmentTester,
  type CountsLayout,
  type TreatmentTest,
  type TreatmentTester,
} from './nested/treatment-test';
export {
  expectedSpread,
  type ExpectedSpread,
  type FoundSpread,
  leaningDifference,
  type LeaningDifference,
} from './bayes/earlier-spread';
export {
  type RankedTreatment,
  type Ranking,
  type RankingInput,
  rankTreatments,
} from './bayes/ranking';
export { countTippingSd, ordinaryShares, type PlotCount, tippingSd } from './bayes/tipping';
