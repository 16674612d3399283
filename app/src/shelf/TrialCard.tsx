import { EvidenceMark } from '@fairbed/report';
import type { ReactNode } from 'react';
import { bedHref, planHref, trialHref } from '../route';
import { counted } from '../verdict/numbers';
import type { Card, Summary } from './card';

export type CardFaceProps = {
  readonly href: string;
  readonly title: string;
  readonly invented: boolean;
  readonly facts: string;
  readonly summary: Summary | undefined;
  /** Stands where the sentence will, while there is none. */
  readonly unread: string;
  readonly children?: ReactNode;
};

/** A card like an index card: title, the sentence, how sure. */
export function CardFace(props: CardFaceProps) {
  const { href, title, invented, facts, summary, unread, children } = props;
  return (
    <li className="card">
      <h2 className="card-title">
        <a href={href}>{title}</a>
      </h2>
      {invented && <span className="stamp">Invented</span>}
      {summary ? (
        <>
          <p className="card-sentence">{summary.sentence}</p>
          <p className="card-mark">
            <EvidenceMark grade={summary.grade} />
          </p>
        </>
      ) : (
        <p className="soft">{unread}</p>
      )}
      <div className="card-foot">
        <p className="soft small">{facts}</p>
        {children}
      </div>
    </li>
  );
}

export const factsOf = (card: Pick<Card, 'treatments' | 'plots' | 'rounds'>): string =>
  [
    counted(card.treatments, 'treatment'),
    counted(card.plots, 'plot'),
    counted(card.rounds, 'round'),
  ].join(', ');

/** A trial that is laid out opens on its bed, one that is not on its plan. */
const bookHref = ({ id, plots }: Card): string => (plots > 0 ? bedHref(id) : planHref(id));

const bookNote = ({ plots, rounds }: Card): string => {
  if (plots === 0) return 'Not laid out yet. Open it to plan it.';
  return rounds === 0 ? 'No round scored yet.' : 'Open it for the next round.';
};

/** A trial of the grower's own. */
export function TrialCard({
  card,
  summary,
  onRemove,
}: {
  readonly card: Card;
  readonly summary: Summary | undefined;
  readonly onRemove: () => void;
}) {
  return (
    <CardFace
      href={card.book ? bookHref(card) : trialHref(card.id)}
      title={card.title}
      invented={card.invented}
      facts={factsOf(card)}
      summary={summary}
      unread={card.book ? bookNote(card) : 'Not judged yet. Open it to read the answer.'}
    >
      {card.book && card.rounds > 0 && (
        <a className="button quiet" href={trialHref(card.id)} aria-label={`Verdict: ${card.title}`}>
          Verdict
        </a>
      )}
      <button
        type="button"
        className="button quiet"
        aria-label={`Remove ${card.title}`}
        onClick={onRemove}
      >
        Remove
      </button>
    </CardFace>
  );
}
