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
