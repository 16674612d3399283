export { type Added, type Book, type Clash, createBook, type Refusal } from './book';
export { clockMs, clockWriter, isClock, LAST_ACCEPTED_MS, LAST_BELIEVED_MS } from './clock';
export {
  byClock,
  type Entry,
  isProblem,
  MOST_REPLACES,
  MOST_THING,
  MOST_WHO,
  readEntry,
} from './entry';
export { type Json, MOST_DEPTH, MOST_SIZE, sameJson } from './json';
export type { Kind } from './kind';
export { createPen, EntryRefused, type Line, type Pen, type PenAt } from './pen';
export { type EntryStore, memoryStore } from './store';
