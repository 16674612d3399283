import { DaysChart, LooksChart, RankingChart, ResidualsChart } from '../src/index';
import { curves, looks, ranking, residuals } from './method-parts';
import { control, five, severity, styles } from './trials';

const treatmentOf = new Map(severity.plots.map(({ plot, treatment }) => [plot, treatment]));
const picked = { onPick: () => undefined };

export const methods = {
  ranking: (width: number) => (
    <RankingChart {...{ ranking, control, styles, width }} worthHavingPercent={30} />
  ),
  'ranking-lit': (width: number) => (
    <RankingChart
      {...{ ranking, control, styles, width, ...picked }}
      worthHavingPercent={30}
      lit={{ treatment: five[2] ?? '' }}
    />
  ),
  looks: (width: number) => <LooksChart {...{ looks, width }} />,
  'looks-none': (width: number) => (
    <LooksChart
      looks={looks.slice(0, 2).map((look) => ({ ...look, date: null, bound: null, alphaSpent: 0 }))}
      width={width}
    />
  ),
  residuals: (width: number) => <ResidualsChart {...{ residuals, treatmentOf, styles, width }} />,
  'residuals-lit': (width: number) => (
    <ResidualsChart
      {...{ residuals, treatmentOf, styles, width, ...picked }}
      lit={{ treatment: five[0] ?? '', plot: severity.plots[1]?.plot ?? '' }}
    />
  ),
  days: (width: number) => <DaysChart {...{ curves, styles, width }} event="first-symptom" />,
  'days-lit': (width: number) => (
    <DaysChart
      {...{ curves, styles, width, ...picked }}
      event="first-symptom"
      lit={{ treatment: five[3] ?? '' }}
    />
  ),
};
