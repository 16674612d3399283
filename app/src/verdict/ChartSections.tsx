import {
  BalanceChart,
  EffectsChart,
  PlotValuesChart,
  ProgressChart,
  type TreatmentStyles,
} from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import type { Judgement, Outcome } from '@fairbed/verdict';
import type { ReactNode } from 'react';
import { useWidth } from '../useWidth';
import { chartEvents } from './events';
import { useLit } from './lit';

function ChartSheet({
  id,
  question,
  draw,
}: {
  readonly id: string;
  readonly question: string;
  readonly draw: (width: number) => ReactNode;
}) {
  const [ref, width] = useWidth<HTMLDivElement>();
  return (
    <section className="sheet chart" aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`} tabIndex={-1}>
        {question}
      </h2>
      <div ref={ref} className="chart-frame" data-testid={id}>
        {width > 0 && draw(width)}
      </div>
    </section>
  );
}

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
    </div>
  );
}
