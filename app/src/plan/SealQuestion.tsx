import type { Json } from '@fairbed/notebook';
import { departuresOf, sealText, sealThing } from '@fairbed/trial';
import { useEffect, useMemo, useState } from 'react';
import { useAnnounce } from '../Announcer';
import { useThings, useTrialOf } from '../book/useBook';
import { sha256 } from '../book/sha256';
import { bedHref, stakesHref } from '../route';
import { goToQuestion } from './goTo';
import { missingOf } from './missing';
import { Question } from './Question';
import { longDay, today } from './today';
import type { Plan } from './usePlan';

const frozen =
  'Sealing freezes the question, treatments, design and layout, rounds, stripping, main outcome, the smallest difference worth having and the method. Changes stay possible; each is listed as a departure, here and in the report.';

async function writeSeal({ open }: Plan): Promise<void> {
  const text = sealText(open.source);
  const hash = await sha256(text);
  const value = { hash, day: today(), plan: JSON.parse(text) as Json };
  // Undo must not go back on it: a seal that comes off in passing seals nothing.
  await open.writeForGood([{ kind: 'seal', thing: sealThing, value }]);
}

function Seal({ plan }: { readonly plan: Plan }) {
  const announce = useAnnounce();
  const [fault, setFault] = useState<string>();
  const missing = missingOf(plan);
  const seal = (): void => {
    writeSeal(plan).then(
      () => {
        setFault(undefined);
        announce('The plan is sealed.');
      },
      (wrong: unknown) => setFault(wrong instanceof Error ? wrong.message : String(wrong)),
    );
  };
  if (missing.length > 0) {
    return (
      <div className="plan-advice">
        <p>
          <strong>Still to be answered:</strong>
        </p>
        <ul className="plan-missing">
          {missing.map(({ question, what }) => (
            <li key={what}>
              <a href={`#question-${question}`} onClick={goToQuestion(question)}>
                {question}: {what}
              </a>
            </li>
          ))}
        </ul>
      </div>
    );
  }
  return (
    <>
      {fault !== undefined && (
        <p className="plan-fault" role="alert">
          It could not be sealed: {fault}
        </p>
      )}
      <button type="button" className="button" onClick={seal}>
        Seal the plan
      </button>
    </>
  );
}

/** What was done otherwise than sealed, and the reasons given. */
function Departures({ plan }: { readonly plan: Plan }) {
  const { open } = plan;
  // The trial is folded anew whenever an entry comes: so are its departures.
  const trial = useTrialOf(open);
  const departures = useMemo(() => departuresOf(open.source, today()), [open, trial]);
  const reasons = useThings(open, 'note').flatMap(([thing, { value }]) =>
    thing.startsWith('why-') ? [(value as { readonly text: string }).text] : [],
  );
  if (departures.length === 0) return <p>Nothing has departed from the plan.</p>;
  return (
    <div>
      <h3 id="plan-departures">Departures from the plan</h3>
      <ul className="plan-departures" aria-labelledby="plan-departures">
        {departures.map(({ what }, i) => (
          <li key={i}>{what}</li>
        ))}
      </ul>
      {reasons.length > 0 && (
        <>
          <h3 id="plan-reasons">Reasons given</h3>
          <ul className="plan-departures" aria-labelledby="plan-reasons">
            {reasons.map((reason) => (
              <li key={reason}>{reason}</li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}

/** Says so where the hash of a seal is not that of the plan it holds. */
function SealProof({ text, hash }: { readonly text: string; readonly hash: string }) {
  const [found, setFound] = useState<string>();
  useEffect(() => {
    let current = true;
    void sha256(text).then((made) => {
      if (current) setFound(made);
    });
    return () => {
      current = false;
    };
  }, [text]);
  if (found === undefined || found === hash) return null;
  return (
    <p className="plan-fault" role="alert">
      This hash does not belong to the sealed plan: the plan was changed after it was sealed, or the
      seal was never true. Ask whoever sealed it for the hash they saw.
    </p>
  );
}

/** 8: the seal: what it freezes, its hash and day; then what was done otherwise. */
export function SealQuestion({ plan }: { readonly plan: Plan }) {
  const { seal, open } = plan;
  return (
    <Question
      number={8}
      title="Is this the plan you will be held to?"
      plan={plan}
      fields={[]}
      answered={seal.sealed}
    >
      <p>{frozen}</p>
      {!seal.sealed && <Seal plan={plan} />}
      {seal.sealed && (
        <>
          <div className="plan-seal" data-testid="seal">
            <p>
              <strong>Sealed on {longDay(seal.day)}.</strong>{' '}
              {seal.same ? 'The plan stands as it was sealed.' : 'The plan was changed since.'}
            </p>
            <p className="small">
              SHA-256 <code data-testid="seal-hash">{seal.hash}</code>
            </p>
            <SealProof text={seal.text} hash={seal.hash} />
          </div>
          <Departures plan={plan} />
          <div className="buttons">
            <a className="button" href={bedHref(open.id)}>
              Go to the bed
            </a>
            <a className="button quiet" href={stakesHref(open.id)}>
              Print stakes and maps
            </a>
          </div>
        </>
      )}
    </Question>
  );
}
