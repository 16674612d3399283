export { type Balance, BalanceChart, type BalanceChartProps } from './balance-chart';
export { describeBalance } from './balance-text';
export { BedMap, type BedMapProps } from './bed-map';
export { planMap } from './bed-plan';
export { describeBed, type MapRound, type MapTrial, type PlantDot } from './bed-plots';
export type { Progress } from './course';
export type { ChartEvent } from './day-axis';
export { DaysChart, type DaysChartProps } from './days-chart';
export { type DaysCurve, describeDays } from './days-text';
export { EffectsChart, type EffectsChartProps } from './effects-chart';
export { describeEffects } from './effects-text';
export { EvidenceMark, type EvidenceMarkProps } from './evidence-mark';
export {
  chanceFigure,
  differenceUnit,
  fixedNumber,
  intervalText,
  type NumberFormat,
  numberFormat,
  shortDate,
  signed,
  unitWords,
} from './format';
export type { ChartProps, OnPick, Pick } from './frame';
export {
  type SeverityLeaf,
  SeverityLeafPicture,
  type SeverityLeafPictureProps,
  severityLeaf,
  severityLeaves,
  severitySteps,
} from './leaves/severity-leaf';
export {
  type Shape,
  styleOf,
  type TreatmentStyle,
  type TreatmentStyles,
  treatmentStyles,
} from './marks';
export { LooksChart, type LooksChartProps } from './looks-chart';
export { describeLooks, type Look } from './looks-text';
export { PlotValuesChart, type PlotValuesChartProps } from './plot-values-chart';
export { describePlotValues } from './plot-values-text';
export { ProgressChart, type ProgressChartProps } from './progress-chart';
export { describeProgress } from './progress-text';
export { RankingChart, type RankingChartProps } from './ranking-chart';
export { chanceText, describeRanking, type RankedTreatment } from './ranking-text';
export { renderSvg } from './render-svg';
export { ResidualsChart, type ResidualsChartProps } from './residuals-chart';
export { describeResiduals, type Residual } from './residuals-text';
export { type Theme, type ThemeName, themeCss, themes, type Tone } from './theme';
export { TreatmentIcon, TreatmentMark, type TreatmentMarkProps } from './treatment-mark';
