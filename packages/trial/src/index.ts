export { type Migration, migrateDown, migrateUp, trialMigrations, trialVersion } from './migrate';
export { type ReadTrial, readTrial, readTrialText } from './read';
export {
  type DesignKind,
  type LossCause,
  type Plot,
  type Round,
  type Score,
  type Treatment,
  type Trial,
  trialSchema,
} from './schema';
