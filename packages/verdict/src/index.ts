export { type Finding, hardlyAnyDiseasePercent } from './evidence';
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
  Judgement,
  MethodId,
  MethodResult,
  MethodUsed,
  Ordinal,
  Outcome,
  PairComparison,
  TimeToEvent,
  TreatmentMean,
} from './judgement';
