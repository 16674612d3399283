import type { Trial } from '@fairbed/trial';
import { useId } from 'react';
import { Folded } from './Folded';
import { NumberInput } from './NumberInput';
import { SeverityPictures } from './SeverityPictures';
import type { Drafts } from './useDrafts';

type MeasureProps = { readonly drafts: Drafts; readonly trial: Trial };

/** One of the plan's grades, by a tap. */
function Grade({ drafts, trial }: MeasureProps) {
  const id = useId();
  const scale = trial.gradeScale;
  if (scale === undefined) return null;
  const value = drafts.number({ field: 'grade' });
  return (
    <div className="figure" role="group" aria-labelledby={id}>
      <h2 className="figure-name" id={id}>
        Grade
      </h2>
      <p className="figure-hint">{scale.healthy} is healthy</p>
      <div className="figure-keys five">
        {scale.classes.map((grade) => (
          <button
            key={grade}
            type="button"
            aria-pressed={value === grade}
            aria-label={`Grade ${grade}${grade === scale.healthy ? ', healthy' : ''}`}
            onClick={() => drafts.set({ field: 'grade' }, value === grade ? null : grade)}
          >
            {grade}
          </button>
        ))}
      </div>
    </div>
  );
}

/** The plan's own measure, typed. */
function OwnValue({ drafts, trial }: MeasureProps) {
  const id = useId();
  const measure = trial.valueMeasure;
  if (measure === undefined) return null;
  return (
    <div className="field">
      <label htmlFor={id}>
        {measure.name}
        {measure.unit === undefined ? '' : ` (${measure.unit})`}
      </label>
      <NumberInput
        id={id}
        label={measure.name}
        value={drafts.number({ field: 'value' })}
        onChange={(n) => drafts.set({ field: 'value' }, n ?? null)}
      />
    </div>
  );
}

const bySeverity = (trial: Trial): boolean => trial.plan?.outcome?.includes('severity') === true;

/** Measures beside the leaf counts; those the plan judges by stand open. */
export function OtherMeasures(props: MeasureProps) {
  const { drafts, trial } = props;
  const severity = (
    <SeverityPictures
      diseases={trial.diseases}
      value={(disease) => drafts.number({ field: 'severity', disease })}
      onChange={(n, disease) => drafts.set({ field: 'severity', disease }, n ?? null)}
    />
  );
  return (
    <>
      <Grade {...props} />
      <OwnValue {...props} />
      {bySeverity(trial) ? (
        severity
      ) : (
        <Folded summary="How much of the leaves is diseased">{severity}</Folded>
      )}
    </>
  );
}
