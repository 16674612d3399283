import type { MethodId } from '@fairbed/verdict';
import type { View } from '../route';

/** The reader's choices, as `judge` takes them; the seed stays its own. */
export type Ask = {
  readonly outcome?: string;
  readonly baseline?: string;
  readonly control?: string;
  readonly method?: MethodId;
  readonly look?: string;
  readonly worthHavingPercent?: number;
  /** The verdict alone, and the figures it rests on. */
  readonly brief?: boolean;
  /** All but the models of single leaves and grades, which take longest. */
  readonly withoutModels?: boolean;
};

/** What an address asks of the judge. */
export const askOf = ({ outcome, baseline, control, method, look, worth }: View): Ask => ({
  ...(outcome === undefined ? {} : { outcome }),
  ...(baseline === undefined ? {} : { baseline }),
  ...(control === undefined ? {} : { control }),
  ...(method === undefined ? {} : { method }),
  ...(look === undefined ? {} : { look }),
  ...(worth === undefined ? {} : { worthHavingPercent: worth }),
});

/** The same question where the verdict is to be there soonest; the figures follow it. */
export const quickly = (ask: Ask): Ask => ({ ...ask, brief: true });

/** The same question with the figures of the plots; what takes longest follows them. */
export const plainly = (ask: Ask): Ask => ({ ...ask, withoutModels: true });
