import type { Pick } from '@fairbed/report';
import type { Judgement, Outcome } from '@fairbed/verdict';
import { lazy, type ReactNode, Suspense, useDeferredValue, useMemo, useState } from 'react';
import type { View } from '../route';
import { useAfterPaint } from '../useAfterPaint';
import type { Held, LookChoice } from '../work/desk';
import { Answer, Cautions } from './Answer';
import { Asked } from './Asked';
import { BottomBar, type Part } from './BottomBar';
import { Controls } from './Controls';
import { CurrentContext } from './current';
import { type Facts, factsOf, namedControl } from './facts';
import { LitContext, type Lighting } from './lit';
import { lookTitle } from './lookTitles';

// The sentence never waits for the drawings: they are read once it is there.
const Proof = lazy(() => import('./Proof').then((part) => ({ default: part.Proof })));
const BedPanel = lazy(() => import('./BedPanel').then((part) => ({ default: part.BedPanel })));

export type VerdictPageProps = {
  readonly id: string;
  readonly held: Held;
  /** The answer: the verdict and the figures it rests on. */
  readonly judgement: Judgement;
  /** What proves it: all figures. Of the question before, until `proven`. */
  readonly proof: Judgement | undefined;
  readonly proven: boolean;
  readonly rounds: readonly LookChoice[];
  readonly view: View;
  readonly onView: (view: View) => void;
  readonly onFacts: (facts: Facts) => void;
  /** An example that was restated for this visit. */
  readonly visiting: boolean;
  readonly note: ReactNode;
  /** A new answer is being worked out; the one on show is the one before. */
  readonly stale: boolean;
  /** The answer or what proves it is being worked out. */
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

/** In words what the others are compared with; `taken` where nobody named it. */
function comparedWith({ trial }: Held, { control }: Judgement, view: View) {
  const named = namedControl(trial);
  const reference = control === null || control === named ? 'the control' : control;
  const asked = named ?? view.control;
  return { reference, taken: asked === undefined ? (control ?? undefined) : undefined };
}

/** The answer, what proves it, the figures, and how they were made; the bed beside all of it. */
export function VerdictPage(props: VerdictPageProps) {
  const { id, held, judgement, rounds, view, onView, note, busy, stale } = props;
  // The sentence goes first; the drawings follow it when there is time.
  const proof = useDeferredValue(props.proof);
  const outcome = (proof ?? judgement).outcomes[0];
  const lighting = useLighting(outcome);
  const { taken } = comparedWith(held, judgement, view);
  const [docked, setDocked] = useState(false);
  const said = useAfterPaint();
  const current = props.proven && proof === props.proof ? (busy ? 'growing' : 'whole') : 'old';
  const shown = {
    outcome: view.outcome ?? judgement.outcomes[0]?.id ?? '',
    control: view.control ?? judgement.control,
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
            <Answer
              verdict={judgement.verdict}
              taken={taken}
              busy={stale}
              asked={
                <Asked
                  method={judgement.method}
                  look={
                    judgement.look === undefined ? undefined : lookTitle(rounds, judgement.look)
                  }
                  view={view}
                  onView={onView}
                />
              }
            />
            <Cautions verdict={judgement.verdict} />
            {said && (
              <Controls
                outcomes={held.outcomes}
                treatments={held.trial.treatments.map(({ name }) => name)}
                rounds={rounds}
                method={judgement.method}
                shown={shown}
                view={view}
                onView={onView}
                facts={factsOf(held.trial)}
                visiting={props.visiting}
                onFacts={held.book ? undefined : props.onFacts}
              />
            )}
          </div>
          <Suspense>
            {said && proof && (
              <CurrentContext value={current}>
                <Proof
                  id={id}
                  held={held}
                  judgement={proof}
                  reference={comparedWith(held, proof, view).reference}
                />
              </CurrentContext>
            )}
          </Suspense>
        </div>
        <Suspense>
          {said && <BedPanel trial={held.trial} outcome={outcome} docked={docked} />}
        </Suspense>
      </div>
      {said && (
        <BottomBar parts={parts} bedDocked={docked} onBed={() => setDocked((was) => !was)} />
      )}
    </LitContext>
  );
}
