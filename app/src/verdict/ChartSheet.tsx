import type { ReactNode } from 'react';
import { useWidth } from '../useWidth';

/** One chart under the question it answers, drawn once its width is known. */
export function ChartSheet({
  id,
  question,
  under,
  draw,
}: {
  readonly id: string;
  readonly question: string;
  /** What it says, in words, under the picture. */
  readonly under?: string | undefined;
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
      {under !== undefined && <p className="under-chart">{under}</p>}
    </section>
  );
}
