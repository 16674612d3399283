import { PlotValuesChart } from '../src/index';
import { control, severity, twelveOutcome, unreplicated, withValues } from './trials';

const efficacy = withValues(severity, (v) => 40 - v, {
  title: 'Efficacy against the untreated plot of the block',
});
const zero = withValues(severity, () => 0, { title: 'Leaves diseased in a clean year' });

export const plotValues = {
  'plot-values': (width: number) => (
    <PlotValuesChart outcome={severity} control={control} width={width} />
  ),
  'plot-values-lit': (width: number) => (
    <PlotValuesChart
      outcome={severity}
      control={control}
      width={width}
      lit={{ treatment: 'Water only', plot: 'B1-4' }}
      onPick={() => undefined}
    />
  ),
  'plot-values-unreplicated': (width: number) => (
    <PlotValuesChart outcome={unreplicated} control={control} width={width} />
  ),
  'plot-values-negative': (width: number) => (
    <PlotValuesChart outcome={efficacy} control={control} width={width} />
  ),
  'plot-values-zero': (width: number) => (
    <PlotValuesChart outcome={zero} control={control} width={width} />
  ),
  'plot-values-twelve': (width: number) => (
    <PlotValuesChart outcome={twelveOutcome} control={control} width={width} />
  ),
};
