import { Label, RadioButton, RadioField, RadioGroup, Text } from 'react-aria-components';

export type Choice = { readonly id: string; readonly label: string };

/** A question with plain choices. Nothing is chosen until the grower chooses. */
export function ChoiceQuestion({
  question,
  why,
  choices,
  answer,
  onAnswer,
}: {
  readonly question: string;
  readonly why?: string;
  readonly choices: readonly Choice[];
  readonly answer: string | undefined;
  readonly onAnswer: (id: string) => void;
}) {
  return (
    <RadioGroup
      className="question"
      value={answer ?? null}
      onChange={onAnswer}
      data-open={answer === undefined || undefined}
    >
      <Label className="question-title">{question}</Label>
      {why !== undefined && (
        <Text slot="description" className="soft small">
          {why}
        </Text>
      )}
      <div className="choices">
        {choices.map((choice) => (
          <RadioField key={choice.id} value={choice.id} className="choice-field">
            <RadioButton className="choice">
              <span className="choice-dot" aria-hidden="true" />
              {choice.label}
            </RadioButton>
          </RadioField>
        ))}
      </div>
    </RadioGroup>
  );
}
