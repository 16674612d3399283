import type { PlotValues, Tally } from '@fairbed/trial';
import type { Layout } from './layout';
import type { PlotTable } from './table';

/** What a method needs to weigh treatments against the control on grounds of its own. */
export type MethodInput = {
  readonly tally: Tally;
  readonly table: PlotTable;
  readonly layout: Layout;
  /** Name of the control, as shown. */
  readonly control: string;
  /** Round to look at, for methods that look at one. */
  readonly round?: string | undefined;
  /** Values of the plots, for methods that start from them. */
  readonly outcome?: PlotValues | undefined;
  readonly seed: number;
};
