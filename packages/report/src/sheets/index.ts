export type { SheetBed } from './ground';
export type { ScorerMapInput, SprayerMapInput } from './map-input';
export { scorerMapPdf, sprayerMapPdf } from './maps';
export type { Paper } from './paper';
export { type ScoringSheetInput, scoringSheetPdf } from './scoring-sheet';
export type { Sheet, SheetHead, SheetPlace, SheetPlot } from './sheet';
export { type StakeLabels, type StakesInput, stakesPdf } from './stakes';
