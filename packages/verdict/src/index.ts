export { type Finding, hardlyAnyDiseasePercent } from './evidence';
export { type EarlierSpread, spreadsOf } from './earlier';
export { createJudge, judge, JudgeError } from './judge';
export { type JudgeOptions, worthHavingWithoutPlan } from './options';
export type {
  AnovaRow,
  ControlComparison,
  Counts,
  Efficacy,
  EvidenceGrade,
  ExactResult,
  FixedEffect,
  Interval,
  MethodId,
  MethodResult,
  MethodUsed,
  Ordinal,
  Outcome,
  PairComparison,
  TimeToEvent,
  TreatmentMean,
} from './judgement';
export { firstStop, type FirstStopInput } from './power/first-stop';
export { largerTrials, usualTrials } from './power/others';
export {
  type GroundName,
  powerFault,
  type PowerQuestion,
  unevennessOf,
  usualExpected,
} from './power/question';
export { type PowerFigures, powerStudy, type Share } from './power/study';
export {
  falseCallWords,
  layoutWords,
  powerAdvice,
  powerAssumptions,
  powerSentence,
} from './power/words';
export {
  earliestStop,
  type EarliestStop,
  recommendedSpending,
  type SpendingWord,
} from './look-plan';
export { type Look, type Looks, type LooksInput, looksOf } from './looks';
export type { Judgement } from './whole';
export { groupedText } from './numbers';
