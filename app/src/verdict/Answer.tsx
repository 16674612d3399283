import { EvidenceMark } from '@fairbed/report';
import type { Judgement } from '@fairbed/verdict';
import type { ReactNode } from 'react';

const toChoice = (): void => document.getElementById('control')?.focus();

/** Said at once where the answer rests on a comparison that nobody asked for. */
function NoControlNamed({ taken }: { readonly taken: string }) {
  return (
    <p className="asked" data-testid="no-control">
      <span>
        Compared with <strong>{taken}</strong>, because no control was named.
      </span>
      <button type="button" className="button quiet" onClick={toChoice}>
        Choose another
      </button>
    </p>
  );
}

/** The answer: the sentence, against what if nobody said, how sure, and why. */
export function Answer({
  verdict,
  taken,
  asked,
  busy,
}: {
  readonly verdict: Judgement['verdict'];
  /** Remarks on what was chosen by hand. */
  readonly asked: ReactNode;
  /** Another answer is being worked out. */
  readonly busy: boolean;
  /** Treatment taken for comparison because no control was named. */
  readonly taken: string | undefined;
}) {
  return (
    <section className="answer" aria-label="The answer" aria-busy={busy}>
      <p className="sentence" data-testid="sentence">
        {verdict.sentence}
      </p>
      {taken !== undefined && <NoControlNamed taken={taken} />}
      {asked}
      <p className="evidence">
        <EvidenceMark grade={verdict.grade} />
      </p>
      {verdict.reasons.length > 0 && (
        <ul className="reasons">
          {verdict.reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** What the trial can't say stands as large as what it can. */
export function Cautions({ verdict }: { readonly verdict: Judgement['verdict'] }) {
  const { cautions, departures } = verdict;
  if (cautions.length === 0 && departures.length === 0) return null;
  return (
    <section className="cautions" aria-labelledby="cautions">
      <h2 id="cautions">What should you be careful of?</h2>
      <ul data-testid="cautions">
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      {departures.length > 0 && (
        <>
          <h3>What did not go to plan?</h3>
          <ul>
            {departures.map((departure) => (
              <li key={departure}>{departure}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
