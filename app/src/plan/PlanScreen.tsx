import { BookPage } from '../book/BookPage';
import { UndoBar } from '../book/UndoBar';
import type { OpenBook } from '../book/liveBook';
import { CropQuestion, WhatQuestion } from './AboutQuestions';
import { DesignQuestion } from './DesignQuestion';
import { DrawQuestion } from './DrawQuestion';
import { FactsPanel, FactsStrip } from './FactsPanel';
import { GroundMap, GroundQuestion } from './GroundQuestion';
import { JudgeQuestion } from './JudgeQuestion';
import { SealQuestion } from './SealQuestion';
import { longDay } from './today';
import { TreatmentsQuestion } from './TreatmentsQuestion';
import { type Plan, usePlan } from './usePlan';
import { useWide } from './useWide';
import '../style/plan.css';

/** Pixels that the map may take beside the questions, under the figures. */
const asideMap = 440;

function Aside({ plan }: { readonly plan: Plan }) {
  const hasBeds = (plan.values.beds ?? []).length > 0;
  return (
    <aside
      className="plan-aside"
      aria-label="The bed and what the layout can show"
      // Longer than the screen it is scrolled by itself, by keys as well.
      tabIndex={0}
    >
      <FactsPanel plan={plan} />
      {hasBeds && <GroundMap plan={plan} maxHeight={asideMap} />}
    </aside>
  );
}

function Questions({ plan, wide }: { readonly plan: Plan; readonly wide: boolean }) {
  return (
    <div className="plan-questions">
      <WhatQuestion plan={plan} />
      <CropQuestion plan={plan} />
      <TreatmentsQuestion plan={plan} />
      <GroundQuestion plan={plan} wide={wide} />
      <DesignQuestion plan={plan} wide={wide} />
      <JudgeQuestion plan={plan} />
      <DrawQuestion plan={plan} />
      <SealQuestion plan={plan} />
    </div>
  );
}

function PlanPage({ open }: { readonly open: OpenBook }) {
  const plan = usePlan(open);
  const wide = useWide();
  const { seal, refused } = plan;
  return (
    <>
      <p className="soft">
        Answer in any order. Every answer is kept as soon as you leave its field.
      </p>
      <UndoBar open={open} look="plan" />
      {seal.sealed && (
        <p className="plan-caution">
          Sealed on {longDay(seal.day)}. Changes are possible; each is listed as a departure.
        </p>
      )}
      {refused !== undefined && (
        <p className="plan-fault" role="alert">
          This answer could not be kept: {refused}
        </p>
      )}
      <div className="plan-grid">
        <Questions plan={plan} wide={wide} />
        {wide && <Aside plan={plan} />}
      </div>
      {!wide && <FactsStrip plan={plan} />}
    </>
  );
}

/** The plan of a trial: eight questions on one page. */
export function PlanScreen({ id }: { readonly id: string }) {
  return (
    <BookPage id={id} className="plan" name="plan" question="How will you find out?">
      {(open) => <PlanPage open={open} />}
    </BookPage>
  );
}
