export type { Paper } from './paper';
export type { Sheet, SheetHead, SheetPlace, SheetPlot } from './sheet';
export { type StakeLabels, type StakesInput, stakesPdf } from './stakes';
