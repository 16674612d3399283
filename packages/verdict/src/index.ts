export type * from './judgement';
