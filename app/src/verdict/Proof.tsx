import type { Judgement } from '@fairbed/verdict';
import { memo, type ReactNode } from 'react';
import type { Held } from '../work/desk';
import { Beside } from './Beside';
import { ChartSections } from './ChartSections';
import { Downloads } from './Downloads';
import { How } from './How';
import { useLooks } from './looks';
import { FamilyTable, LooksTable, MethodsTable, RankingTable } from './MethodTables';
import { ModelTables } from './ModelTables';
import { LeafBalanceTable, PlotsTable, TippingTable } from './MoreTables';
import { Residuals } from './Residuals';
import { ScaleTable } from './ScaleTable';
import { TreatmentsTable } from './TreatmentsTable';

const hasProducts = (held: Held): boolean =>
  held.trial.treatments.some(({ kind }) => kind === 'product' || kind === 'unstated');

/** One plot of each treatment gives no error term: no interval and no p is shown, from any model. */
const isReplicated = ({ design }: Judgement): boolean => design.kind !== 'unreplicated';

function Figures({
  held,
  judgement,
  reference,
  markOf,
}: {
  readonly held: Held;
  readonly judgement: Judgement;
  readonly reference: string;
  readonly markOf: (treatment: string) => ReactNode;
}) {
  const outcome = judgement.outcomes[0];
  return (
    <section id="figures" className="part" aria-labelledby="figures-title">
      <h2 id="figures-title" tabIndex={-1}>
        What are the figures?
      </h2>
      {outcome && <TippingTable outcome={outcome} reference={reference} markOf={markOf} />}
      {judgement.tippingByLeaves && <p>{judgement.tippingByLeaves.says}</p>}
      {judgement.earlier && <p>{judgement.earlier.says}</p>}
      {outcome && <TreatmentsTable outcome={outcome} reference={reference} markOf={markOf} />}
      {outcome && <ScaleTable {...{ outcome, reference, markOf }} />}
      {judgement.method && <MethodsTable {...{ reference, markOf }} method={judgement.method} />}
      <RankingTable judgement={judgement} markOf={markOf} />
      <LooksTable judgement={judgement} />
      <FamilyTable judgement={judgement} reference={reference} />
      {isReplicated(judgement) && (
        <ModelTables {...{ judgement, reference, markOf }} trial={held.trial} />
      )}
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

/** What proves the sentence, the figures, and how they were made. Drawn anew for new figures only. */
export const Proof = memo(function Proof({
  id,
  held,
  judgement,
  reference,
}: {
  readonly id: string;
  readonly held: Held;
  readonly judgement: Judgement;
  /** What the others are compared with: `the control`, or the name of another treatment. */
  readonly reference: string;
}) {
  const outcome = judgement.outcomes[0];
  const { styles, markOf } = useLooks(held.trial);
  return (
    <>
      {judgement.method && <Beside method={judgement.method} />}
      {outcome && (
        <ChartSections
          trial={held.trial}
          judgement={judgement}
          outcome={outcome}
          styles={styles}
          reference={reference}
        />
      )}
      <Figures held={held} judgement={judgement} reference={reference} markOf={markOf} />
      <section id="how" className="part" aria-labelledby="how-title">
        <h2 id="how-title" tabIndex={-1}>
          How was this computed?
        </h2>
        <How judgement={judgement} outcome={outcome} />
        {outcome && <Residuals outcome={outcome} styles={styles} />}
        <Downloads id={id} title={held.trial.title} judgement={judgement} />
      </section>
      {hasProducts(held) && (
        <p className="safety">The label and local law come first, whatever did best here.</p>
      )}
    </>
  );
});
