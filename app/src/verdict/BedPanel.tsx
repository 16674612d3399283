import { BedMap } from '@fairbed/report';
import type { Trial } from '@fairbed/trial';
import type { Outcome } from '@fairbed/verdict';
import { memo, useEffect, useRef, useState } from 'react';
import { useWidth } from '../useWidth';
import { useLit } from './lit';
import { useLooks } from './looks';

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

/** Pixels between the screen's edges and the panel, as the style sheet sets them. */
const around = 80;
const lowest = 240;

/** Height that the plan has on a laptop's screen beside the charts; undefined on a phone. */
function useRoom(isReady: boolean) {
  const card = useRef<HTMLDivElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  const [room, setRoom] = useState<number>();
  useEffect(() => {
    const beside = window.matchMedia('(min-width: 1024px)');
    const measure = (): void => {
      const taken =
        card.current && frame.current
          ? card.current.getBoundingClientRect().height -
            frame.current.getBoundingClientRect().height
          : 0;
      setRoom(
        beside.matches
          ? Math.max(lowest, Math.floor(window.innerHeight - around - taken))
          : undefined,
      );
    };
    measure();
    window.addEventListener('resize', measure);
    return () => window.removeEventListener('resize', measure);
  }, [isReady]);
  return { card, frame, room };
}

export type BedPanelProps = {
  readonly trial: Trial;
  readonly outcome: Outcome | undefined;
  /** On a phone: held at the foot of the screen beside whatever is being read. */
  readonly docked: boolean;
};

/** The bed with its plots. On a laptop it stays beside every chart. */
export const BedPanel = memo(function BedPanel({ trial, outcome, docked }: BedPanelProps) {
  const { lit, pick } = useLit();
  const { styles } = useLooks(trial);
  const [ref, width] = useWidth<HTMLDivElement>();
  const { card, frame, room } = useRoom(width > 0);
  return (
    <aside className="bed" id="bed" aria-labelledby="bed-title" data-docked={docked || undefined}>
      <div className="bed-card" ref={card}>
        <h2 id="bed-title" tabIndex={-1}>
          Where did each plot stand?
        </h2>
        <LitLine />
        <div ref={frame} className="bed-frame" data-testid="bed-map">
          <div ref={ref} />
          {width > 0 && (
            <BedMap
              trial={trial}
              outcome={outcome}
              styles={styles}
              lit={lit}
              onPick={pick}
              width={width}
              maxHeight={room}
            />
          )}
        </div>
      </div>
    </aside>
  );
});
