import { ProgressChart } from '../src/index';
import { events, progress, styles, twelveProgress, twelveStyles, undated } from './trials';

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
    <ProgressChart progress={progress} events={events} width={width} styles={styles} />
  ),
  'progress-lit': (width: number) => (
    <ProgressChart
      progress={progress}
      events={events}
      width={width}
      styles={styles}
      lit={{ treatment: 'Skim milk 1:9', plot: 'B2-4' }}
      onPick={() => undefined}
    />
  ),
  'progress-undated': (width: number) => (
    <ProgressChart progress={undated} width={width} styles={styles} />
  ),
  'progress-twelve': (width: number) => (
    <ProgressChart progress={twelveProgress} width={width} styles={twelveStyles} />
  ),
  'progress-zero': (width: number) => (
    <ProgressChart progress={flat} width={width} styles={styles} />
  ),
  'progress-one-round': (width: number) => (
    <ProgressChart progress={oneRound} width={width} styles={styles} />
  ),
};
