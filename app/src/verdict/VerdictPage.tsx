import { type Pick, TreatmentIcon, treatmentStyles } from '@fairbed/report';
import type { Judgement, Outcome } from '@fairbed/verdict';
import { type ReactNode, useMemo, useState } from 'react';
import type { View } from '../route';
import type { Held } from '../work/desk';
import { Answer, Cautions } from './Answer';
import { BedPanel } from './BedPanel';
import { BottomBar, type Part } from './BottomBar';
import { ChartSections } from './ChartSections';
import { Controls } from './Controls';
import { Downloads } from './Downloads';
import { How } from './How';
import { LitContext, type Lighting } from './lit';
import { LeafBalanceTable, PlotsTable, TippingTable } from './MoreTables';
import { ModelTables } from './ModelTables';
import { TreatmentsTable } from './TreatmentsTable';

export type VerdictPageProps = {
  readonly id: string;
  readonly held: Held;
  readonly judgement: Judgement;
  readonly view: View;
  readonly onView: (view: View) => void;
  readonly note: ReactNode;
  /** A new answer is being worked out; the one on show is the one before. */
  readonly busy: boolean;
};

const parts: readonly Part[] = [
  { id: 'answer', label: 'Answer' },
  { id: 'charts', label: 'Charts' },
  { id: 'figures', label: 'Figures' },
  { id: 'how', label: 'How' },
];

function useLighting(outcome: Outcome | undefined): Lighting {
  const [lit, pick] = useState<Pick>();
  return useMemo(() => {
    const treatmentOf = new Map(outcome?.plots.map(({ plot, treatment }) => [plot, treatment]));
    return { lit, pick, treatmentOf };
  }, [lit, outcome]);
}

/** Order and looks of the treatments: one for the whole page. */
function useStyles(held: Held, control: string | null) {
  return useMemo(() => {
    const styles = treatmentStyles(
      held.trial.treatments.map(({ name }) => name),
      control,
    );
    const markOf = (name: string): ReactNode => {
      const treatment = styles.get(name);
      return treatment ? <TreatmentIcon treatment={treatment} /> : null;
    };
    return { styles, markOf };
  }, [held, control]);
}

const hasProducts = (held: Held): boolean =>
  held.trial.treatments.some(({ kind }) => kind === 'product' || kind === 'unstated');

/** One plot of each treatment gives no error term: no interval and no p is shown, from any model. */
const isReplicated = ({ design }: Judgement): boolean => design.kind !== 'unreplicated';

function Figures({
  judgement,
  outcome,
  markOf,
}: {
  readonly judgement: Judgement;
  readonly outcome: Outcome | undefined;
  readonly markOf: (treatment: string) => ReactNode;
}) {
  return (
    <section id="figures" className="part" aria-labelledby="figures-title">
      <h2 id="figures-title" tabIndex={-1}>
        What are the figures?
      </h2>
      {outcome && <TippingTable outcome={outcome} markOf={markOf} />}
      {outcome && <TreatmentsTable outcome={outcome} markOf={markOf} />}
      {isReplicated(judgement) && <ModelTables judgement={judgement} markOf={markOf} />}
      {judgement.leafBalance && judgement.leafBalance.length > 0 && (
        <LeafBalanceTable rows={judgement.leafBalance} markOf={markOf} />
      )}
      {outcome && (
        <details>
          <summary>The value of every plot</summary>
          <PlotsTable outcome={outcome} markOf={markOf} />
        </details>
      )}
    </section>
  );
}

/** The answer, what proves it, the figures, and how they were made; the bed beside all of it. */
export function VerdictPage(props: VerdictPageProps) {
  const { id, held, judgement, view, onView, note, busy } = props;
  const outcome = judgement.outcomes[0];
  const lighting = useLighting(outcome);
  const { styles, markOf } = useStyles(held, judgement.control);
  const [docked, setDocked] = useState(false);
  const shown = {
    outcome: outcome?.id ?? '',
    control: judgement.control,
    worth: view.worth ?? judgement.verdict.worthHavingPercent,
  };
  return (
    <LitContext value={lighting}>
      <div className="verdict-grid" aria-busy={busy}>
        <div className="reading">
          <div id="answer" className="part">
            <h2 className="heard-only" tabIndex={-1}>
              The answer
            </h2>
            {note}
            <Answer verdict={judgement.verdict} />
            <Cautions verdict={judgement.verdict} />
            <Controls
              outcomes={held.outcomes}
              treatments={held.trial.treatments.map(({ name }) => name)}
              shown={shown}
              view={view}
              onView={onView}
            />
          </div>
          {outcome && (
            <ChartSections
              trial={held.trial}
              judgement={judgement}
              outcome={outcome}
              styles={styles}
            />
          )}
          <Figures judgement={judgement} outcome={outcome} markOf={markOf} />
          <section id="how" className="part" aria-labelledby="how-title">
            <h2 id="how-title" tabIndex={-1}>
              How was this computed?
            </h2>
            <How judgement={judgement} outcome={outcome} />
            <Downloads id={id} title={held.trial.title} judgement={judgement} />
          </section>
          {hasProducts(held) && (
            <p className="safety">The label and local law come first, whatever did best here.</p>
          )}
        </div>
        <BedPanel trial={held.trial} outcome={outcome} styles={styles} docked={docked} />
      </div>
      <BottomBar parts={parts} bedDocked={docked} onBed={() => setDocked((was) => !was)} />
    </LitContext>
  );
}
