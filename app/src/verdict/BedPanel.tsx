import { BedMap, type TreatmentStyles } from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import type { Outcome } from '@fairbed/verdict';
import { useWidth } from '../useWidth';
import { useLit } from './lit';

function LitLine() {
  const { lit, pick } = useLit();
  const plot = lit?.plot === undefined ? undefined : `Plot ${lit.plot}`;
  const words = [plot, lit?.treatment].filter((part) => part !== undefined).join(', ');
  if (words === '') {
    return (
      <p className="lit-line soft small">
        Pick a plot or a treatment: it lights in every chart and table.
      </p>
    );
  }
  return (
    <p className="lit-line">
      <strong data-testid="lit">{words}</strong>
      <button type="button" className="button quiet" onClick={() => pick(undefined)}>
        Put the light out
      </button>
    </p>
  );
}

export type BedPanelProps = {
  readonly trial: Trial;
  readonly outcome: Outcome | undefined;
  readonly styles: TreatmentStyles;
  /** On a phone: held at the foot of the screen beside whatever is being read. */
  readonly docked: boolean;
};

/** The bed with its plots. On a laptop it stays beside every chart. */
export function BedPanel({ trial, outcome, styles, docked }: BedPanelProps) {
  const { lit, pick } = useLit();
  const [ref, width] = useWidth<HTMLDivElement>();
  return (
    <aside className="bed" id="bed" aria-labelledby="bed-title" data-docked={docked || undefined}>
      <div className="bed-card">
        <h2 id="bed-title" tabIndex={-1}>
          Where did each plot stand?
        </h2>
        <LitLine />
        <div ref={ref} className="bed-frame" data-testid="bed-map">
          {width > 0 && (
            <BedMap
              trial={trial}
              outcome={outcome}
              styles={styles}
              lit={lit}
              onPick={pick}
              width={width}
            />
          )}
        </div>
      </div>
    </aside>
  );
}
