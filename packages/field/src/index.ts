export type { Brand } from './brand';
export { type Day, dayFrom, dayFromNumber, dayNumber, daysBetween, readDay } from './day';
export { type Problem, problemLine } from './problem';
