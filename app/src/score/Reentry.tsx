import { reentryOf, type Trial } from '@fairbed/trial';
import { dayAndTime } from '../book/photos';
import { today } from '../plan/today';

/** That one should keep out, and until when: a caution, not a lock. Names no treatment. */
export function Reentry({ trial, plot }: { readonly trial: Trial; readonly plot?: string }) {
  const { time } = dayAndTime(new Date());
  const state = reentryOf(trial, { day: today(), time }, plot);
  if (state.state === 'clear') return null;
  return (
    <p className="caution-note" role="note">
      <strong>{state.what}</strong> {state.do}
    </p>
  );
}
