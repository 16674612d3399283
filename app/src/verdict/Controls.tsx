import type { MethodUsed } from '@fairbed/verdict';
import type { View } from '../route';
import type { LookChoice, OutcomeChoice } from '../work/desk';
import { Choice } from './Choice';
import {
  isBaseline,
  methodChoices,
  methodShown,
  outcomesAt,
  withChoice,
  withLook,
} from './choices';
import type { Facts } from './facts';
import { FactsControl } from './FactsControl';
import { lookChoices } from './lookTitles';
import { WorthControl } from './WorthControl';

export type ControlsProps = {
  readonly outcomes: readonly OutcomeChoice[];
  readonly treatments: readonly string[];
  /** Rounds after which the trial can be judged; empty until they are known. */
  readonly rounds: readonly LookChoice[];
  readonly method: MethodUsed | undefined;
  readonly shown: {
    readonly outcome: string;
    readonly control: string | null;
    readonly worth: number;
  };
  readonly facts: Facts;
  readonly visiting: boolean;
  /** Absent where the trial's own ledger says how it was laid out and scored. */
  readonly onFacts: ((facts: Facts) => void) | undefined;
  readonly view: View;
  readonly onView: (view: View) => void;
};

/** What is measured, against what, and how much would be worth having. Each redoes the answer. */
export function Controls(props: ControlsProps) {
  const { treatments, rounds, method, shown, view, onView } = props;
  const set = (key: 'outcome' | 'baseline' | 'control' | 'method', value: string): void =>
    onView(withChoice(view, key, value));
  const outcomes = outcomesAt(props.outcomes, rounds, view);
  const baselines = outcomes.filter(({ id }) => isBaseline(id));
  const outcomeOptions = outcomes.filter(({ id }) => !isBaseline(id));
  const controlOptions = treatments.map((name) => ({ id: name, title: name }));
  return (
    <section className="controls" aria-label="What the answer is about">
      <Choice
        id="outcome"
        label="Judged by"
        value={shown.outcome}
        options={outcomeOptions}
        onChange={(id) => set('outcome', id)}
      />
      <Choice
        id="control"
        label="Compared with"
        value={shown.control ?? ''}
        options={
          shown.control === null
            ? [{ id: '', title: 'No control named' }, ...controlOptions]
            : controlOptions
        }
        onChange={(id) => set('control', id)}
      />
      {method && method.offered.length > 1 && (
        <Choice
          id="method"
          label="Weighed by"
          value={methodShown(method, view)}
          options={methodChoices(method)}
          onChange={(id) => set('method', id === method.offered[0]?.id ? '' : id)}
        />
      )}
      {rounds.length > 1 && (
        <Choice
          id="look"
          label="Rounds taken in"
          value={view.look ?? ''}
          options={lookChoices(rounds)}
          onChange={(id) => onView(withLook(view, rounds, id))}
        />
      )}
      {baselines.length > 0 && (
        <Choice
          id="baseline"
          label="Allowing for the start"
          value={view.baseline ?? ''}
          options={[{ id: '', title: 'No' }, ...baselines]}
          onChange={(id) => set('baseline', id)}
        />
      )}
      <WorthControl
        worth={shown.worth}
        control={shown.control}
        onWorth={(worth) => onView({ ...view, worth })}
      />
      {props.onFacts && (
        <FactsControl facts={props.facts} onFacts={props.onFacts} visiting={props.visiting} />
      )}
    </section>
  );
}
