import type { View } from '../route';

/** The reader's choices, as `judge` takes them; the seed stays its own. */
export type Ask = {
  readonly outcome?: string;
  readonly baseline?: string;
  readonly control?: string;
  readonly worthHavingPercent?: number;
  /** The verdict alone; the models of single leaves and grades take longest. */
  readonly withoutModels?: boolean;
};

/** What an address asks of the judge. */
export const askOf = ({ outcome, baseline, control, worth }: View): Ask => ({
  ...(outcome === undefined ? {} : { outcome }),
  ...(baseline === undefined ? {} : { baseline }),
  ...(control === undefined ? {} : { control }),
  ...(worth === undefined ? {} : { worthHavingPercent: worth }),
});

/** The same question where the verdict is to be there soonest; the whole answer follows it. */
export const quickly = (ask: Ask): Ask => ({ ...ask, withoutModels: true });
