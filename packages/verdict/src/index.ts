export { type Finding, hardlyAnyDiseasePercent } from './evidence';
export { judge, JudgeError, type JudgeOptions, worthHavingWithoutPlan } from './judge';
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
  Ordinal,
  Outcome,
  PairComparison,
  TimeToEvent,
  TreatmentMean,
} from './judgement';
