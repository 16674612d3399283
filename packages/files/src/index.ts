export { type Checked, checkFile } from './check';
export { csvCell, csvText, type OutCell } from './csvout';
export { type PackageExtras, type PackageParts, trialToPackage } from './datapackage';
export type { DateOrder } from './dates';
export { guessMapping } from './guess';
export type { LedgerEntry } from './ledgertable';
export {
  type Mapping,
  mappingFromRoles,
  mappingKey,
  type Measure,
  type Role,
  type WideColumn,
  type WideGroup,
} from './mapping';
export type { DecimalMark } from './numbers';
export { isDataPackage, type PackageResult, packageToTrial, readPackage } from './openpackage';
export type { Photos } from './photostable';
export { readTable, type TableResult } from './readtable';
export type { TreatmentNames } from './spelling';
export type { Column, Table } from './table';
export { type RowCount, tableToTrial, type TrialResult } from './totrial';
export type { TrialOptions } from './found';
