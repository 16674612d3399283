import { PlotValuesChart } from '../src/index';
import {
  severity,
  styles,
  threeStyles,
  twelveOutcome,
  twelveStyles,
  unreplicated,
  withValues,
} from './trials';

const efficacy = withValues(severity, (v) => 40 - v, {
  title: 'Efficacy against the untreated plot of the block',
});
const zero = withValues(severity, () => 0, { title: 'Leaves diseased in a clean year' });

export const plotValues = {
  'plot-values': (width: number) => (
    <PlotValuesChart outcome={severity} width={width} styles={styles} />
  ),
  'plot-values-lit': (width: number) => (
    <PlotValuesChart
      outcome={severity}
      width={width}
      styles={styles}
      lit={{ treatment: 'Water only', plot: 'B1-4' }}
      onPick={() => undefined}
    />
  ),
  'plot-values-unreplicated': (width: number) => (
    <PlotValuesChart outcome={unreplicated} width={width} styles={threeStyles} />
  ),
  'plot-values-negative': (width: number) => (
    <PlotValuesChart outcome={efficacy} width={width} styles={styles} />
  ),
  'plot-values-zero': (width: number) => (
    <PlotValuesChart outcome={zero} width={width} styles={styles} />
  ),
  'plot-values-twelve': (width: number) => (
    <PlotValuesChart outcome={twelveOutcome} width={width} styles={twelveStyles} />
  ),
};
