import type { MethodUsed } from '@fairbed/verdict';
import type { View } from '../route';
import { withChoice } from './choices';

function Remark(props: {
  readonly id: string;
  readonly text: string;
  readonly back: string;
  readonly onBack: () => void;
}) {
  return (
    <p className="asked" data-testid={props.id}>
      <span>{props.text}</span>
      <button type="button" className="button quiet" onClick={props.onBack}>
        {props.back}
      </button>
    </p>
  );
}

/** A title within a sentence. */
export const lowered = (title: string): string => title.charAt(0).toLowerCase() + title.slice(1);

const titleOf = ({ offered }: MethodUsed, id: string): string =>
  offered.find((one) => one.id === id)?.title ?? id;

/** What of the answer was chosen by hand: stands under the sentence, with the way back. */
export function Asked(props: {
  readonly method: MethodUsed | undefined;
  /** The round looked back from, in words; undefined where all rounds are in. */
  readonly look: string | undefined;
  readonly view: View;
  readonly onView: (view: View) => void;
}) {
  const { method, look, view, onView } = props;
  return (
    <>
      {look !== undefined && (
        <Remark
          id="asked-look"
          text={`As it stood after ${look}. Later rounds are left out.`}
          back="Take all rounds"
          onBack={() => onView(withChoice(view, 'look', ''))}
        />
      )}
      {method?.asked === true && (
        <Remark
          id="asked-method"
          text={`Weighed by: ${lowered(titleOf(method, method.used))}. ${method.rule}`}
          back="Go by the rule"
          onBack={() => onView(withChoice(view, 'method', ''))}
        />
      )}
    </>
  );
}
