import { useState } from 'react';

const reasons = ['Not found', 'Plant is dead or gone', 'Too wet or dark', 'No time'];

/** Leaves a halt out of the round, with the reason. It can be scored later all the same. */
export function SkipPlant(props: {
  readonly skipped: string | undefined;
  /** Null takes the skipping back. */
  readonly onSkip: (why: string | null) => void;
}) {
  const { skipped, onSkip } = props;
  const [other, setOther] = useState('');
  if (skipped !== undefined) {
    return (
      <p className="caution-note">
        Skipped: {skipped}.{' '}
        <button type="button" className="button quiet" onClick={() => onSkip(null)}>
          Score it after all
        </button>
      </p>
    );
  }
  return (
    <fieldset className="stack skip-plant">
      <legend>Skip it: why?</legend>
      <div className="buttons">
        {reasons.map((why) => (
          <button key={why} type="button" className="button quiet" onClick={() => onSkip(why)}>
            {why}
          </button>
        ))}
      </div>
      <div className="field">
        <label htmlFor="skip-why">Another reason</label>
        <input
          id="skip-why"
          type="text"
          maxLength={200}
          value={other}
          onChange={(event) => setOther(event.target.value)}
        />
      </div>
      <button
        type="button"
        className="button quiet"
        disabled={other.trim() === ''}
        onClick={() => onSkip(other.trim())}
      >
        Skip for this reason
      </button>
    </fieldset>
  );
}
