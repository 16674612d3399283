import { ProgressChart } from '../src/index';
import { control, events, progress, twelveProgress, undated } from './trials';

const flat = {
  ...undated,
  plots: undated.plots.map((plot) => ({
    ...plot,
    points: plot.points.map((point) => ({ ...point, value: 0 })),
  })),
};
const oneRound = {
  ...progress,
  plots: progress.plots.map((plot) => ({ ...plot, points: plot.points.slice(3, 4) })),
};

export const progressions = {
  progress: (width: number) => (
    <ProgressChart progress={progress} control={control} events={events} width={width} />
  ),
  'progress-lit': (width: number) => (
    <ProgressChart
      progress={progress}
      control={control}
      events={events}
      width={width}
      lit={{ treatment: 'Skim milk 1:9', plot: 'B2-4' }}
      onPick={() => undefined}
    />
  ),
  'progress-undated': (width: number) => (
    <ProgressChart progress={undated} control={control} width={width} />
  ),
  'progress-twelve': (width: number) => (
    <ProgressChart progress={twelveProgress} control={control} width={width} />
  ),
  'progress-zero': (width: number) => (
    <ProgressChart progress={flat} control={control} width={width} />
  ),
  'progress-one-round': (width: number) => (
    <ProgressChart progress={oneRound} control={control} width={width} />
  ),
};
