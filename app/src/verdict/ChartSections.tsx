import {
  BalanceChart,
  EffectsChart,
  PlotValuesChart,
  ProgressChart,
  type TreatmentStyles,
} from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import type { Judgement, Outcome } from '@fairbed/verdict';
import { lazy, Suspense } from 'react';
import { ChartSheet } from './ChartSheet';
import { chartEvents } from './events';
import { useLit } from './lit';

// Charts that few trials have are read when they are wanted.
const MethodCharts = lazy(() =>
  import('./MethodCharts').then((part) => ({ default: part.MethodCharts })),
);

/** Whether a judgement has anything that those draw. */
const hasMore = ({ ranking, looks, time }: Judgement): boolean =>
  [ranking, looks, time?.curves].some((part) => (part ?? []).length > 0);

export type ChartSectionsProps = {
  readonly trial: Trial;
  readonly judgement: Judgement;
  readonly outcome: Outcome;
  readonly styles: TreatmentStyles;
  readonly reference: string;
};

/** The pictures that prove the sentence: effects, plots, course, leaves. */
export function ChartSections(props: ChartSectionsProps) {
  const { trial, judgement, outcome, styles, reference } = props;
  const { lit, pick } = useLit();
  const { control, progress, balanceOverTime } = judgement;
  const look = { control, styles, lit, onPick: pick };
  const compared = (outcome.versusControl ?? []).length > 0;
  return (
    <div id="charts" className="part">
      {compared && (
        <ChartSheet
          id="effects"
          question={`How far from ${reference}?`}
          draw={(width) => (
            <EffectsChart
              {...look}
              width={width}
              outcome={outcome}
              worthHavingPercent={judgement.verdict.worthHavingPercent}
            />
          )}
        />
      )}
      <ChartSheet
        id="plot-values"
        question="What did each plot say?"
        draw={(width) => <PlotValuesChart {...look} width={width} outcome={outcome} />}
      />
      {progress && (
        <ChartSheet
          id="progress"
          question="How did the disease go on?"
          draw={(width) => (
            <ProgressChart
              {...look}
              width={width}
              progress={progress}
              events={chartEvents(trial)}
            />
          )}
        />
      )}
      {balanceOverTime && balanceOverTime.length > 0 && (
        <ChartSheet
          id="balance"
          question="Where did the leaves go?"
          draw={(width) => <BalanceChart {...look} width={width} balance={balanceOverTime} />}
        />
      )}
      {hasMore(judgement) && (
        <Suspense>
          <MethodCharts judgement={judgement} styles={styles} />
        </Suspense>
      )}
    </div>
  );
}
