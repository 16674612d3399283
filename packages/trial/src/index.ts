export { areaWithDrops, audpc, audps, onset, standardisedAudpc, standardisedAudps } from './area';
export { type BaselineBlocks, blocksByBaseline } from './beds/baseline-blocks';
export { type Cell, type Fit, fitPlots } from './beds/fit-plots';
export type { FitRequest } from './beds/fit-request';
export type { Along } from './beds/grow-blocks';
export { largestPlot } from './beds/largest-plot';
export { type PlantedPlot, walkPlants } from './beds/plant-walk';
export { type Plant, type Planted, plantsIn, type Spacing } from './beds/plants';
export { type BedPlan, type Blocked, inGarden, type Rect } from './beds/rect';
export { type Place, walkLength, walkOrder } from './beds/walk';
export { type PlotSeries, plotSeries } from './course';
export { type DetectedDesign, detectDesign } from './detect-design';
export {
  abbott,
  type BeforeAndAfter,
  type Efficacy,
  type EfficacyGap,
  hendersonTilton,
  schneiderOrelli,
  sunShepard,
} from './efficacy';
export { type GradeScale, gradeIndex } from './grade-index';
export { type Layouts, layoutsOf } from './layouts';
export { type LeafAccount, type LeafEntry, type Losses } from './leaf-account';
export { type LeafBalance, leafBalance, type LeafPoint, type LeafTotals } from './leaf-balance';
export type { MeasureId } from './measures';
export { type Migration, migrateDown, migrateUp, trialMigrations, trialVersion } from './migrate';
export {
  availableOutcomes,
  canGive,
  isBefore,
  mainOutcome,
  isOutcomeId,
  measureOf,
  type OutcomeId,
  outcomeIds,
  outcomeTitle,
  type PlotValues,
  plotValues,
} from './outcomes';
export { type DrawnLayout, drawLayout } from './planning/draw';
export { type Effort, effort } from './planning/effort';
export type { Expected, Unevenness } from './planning/expected';
export { type LayoutFacts, layoutFacts } from './planning/facts';
export { type Ground, inventor } from './planning/invent';
export type { DrawnPlot } from './planning/outline';
export type { LayoutRequest } from './planning/request';
export { stakeCodes } from './planning/stake-codes';
export { type ReadTrial, readTrial, readTrialText } from './read';
export { type Names, namesOf, type PlotName } from './record/blind';
export { canonicalJson } from './record/canonical';
export {
  checkPlant,
  type PlantAt,
  type PlantBefore,
  plantBefore,
  type PlantNow,
} from './record/check-plant';
export { departuresOf } from './record/departures';
export { type Due, type DueCode, whatsDue } from './record/due';
export { type FoldedTrial, trialFrom } from './record/fold';
export { plantIds } from './record/fold-parts';
export { isScoreValue, type RecordKind, recordKinds } from './record/kinds';
export {
  drawsOf,
  frozenPlan,
  planOf,
  sealed,
  type SealState,
  sealText,
} from './record/plan';
export { changeWords } from './record/plan-words';
export { minuteOf, type Moment, momentOf } from './record/moment';
export { type Reentry, reentryOf } from './record/reentry';
export {
  type PlantState,
  type RoundPlant,
  type RoundPlot,
  type RoundState,
  roundState,
} from './record/round-state';
export { type PlannedRound, type Schedule, scheduleOf } from './record/rounds-plan';
export type { RecordSource, Written } from './record/source';
export {
  drawThing,
  plantThing,
  mapForSpraying,
  openedForSpraying,
  readDrawThing,
  readPlantThing,
  readScoreThing,
  revealThing,
  type ScoreField,
  scoreFields,
  type ScorePlace,
  scoreThing,
  sealThing,
  thingOf,
} from './record/things';
export {
  type Draw,
  type PlanField,
  planFields,
  type PlanValues,
  type Seal,
} from './record/values';
export {
  type Departure,
  type DesignKind,
  type LossCause,
  type Plot,
  type Round,
  type Score,
  type Treatment,
  type Trial,
  trialSchema,
} from './schema';
export { type Tally, tabulate } from './tally';
export { type Timeline, timelineOf } from './timeline';
export { upTo } from './up-to';
