import { useEffect, useRef, useState } from 'react';
import { percentTyped } from './numbers';

/** The answer is redone once the hand has rested for this long (milliseconds). */
const restFor = 60;

/**
 * The text being typed, and what sets it. It follows the worth of the page, except where that only
 * echoes what was typed here: an echo that comes late would undo the next letter.
 */
function useTyped(worth: number, onWorth: (worth: number) => void) {
  const [text, setText] = useState(String(worth));
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const sent = useRef<readonly number[]>([]);
  useEffect(() => {
    const at = sent.current.indexOf(worth);
    sent.current = sent.current.slice(at + 1);
    if (at >= 0) return;
    sent.current = [];
    setText((was) => (percentTyped(was) === worth ? was : String(worth)));
  }, [worth]);
  useEffect(() => () => clearTimeout(timer.current), []);
  const send = (next: number): void => {
    if (next === (sent.current.at(-1) ?? worth)) return;
    sent.current = [...sent.current, next];
    onWorth(next);
  };
  const latest = useRef(send);
  latest.current = send;
  const type = (typed: string): void => {
    setText(typed);
    clearTimeout(timer.current);
    const next = percentTyped(typed);
    if (next !== undefined) timer.current = setTimeout(() => latest.current(next), restFor);
  };
  /** What can't be taken gives way to what stands, once the field is left. */
  const settle = (): void => {
    if (percentTyped(text) === undefined) setText(String(sent.current.at(-1) ?? worth));
  };
  return { text, type, settle };
}

/** Smallest difference worth having, percent less disease than the control: a slider and a number. */
export function WorthControl({
  worth,
  control,
  onWorth,
}: {
  readonly worth: number;
  readonly control: string | null;
  readonly onWorth: (worth: number) => void;
}) {
  const { text, type, settle } = useTyped(worth, onWorth);
  return (
    <div className="field worth">
      <label htmlFor="worth">
        Smallest difference worth having, % of {control ?? 'the control'}
      </label>
      <div className="worth-row">
        <input
          id="worth"
          type="range"
          min={0}
          max={100}
          step={5}
          value={percentTyped(text) ?? worth}
          onChange={(event) => type(event.target.value)}
        />
        <input
          type="number"
          aria-label="Smallest difference worth having, percent"
          min={0}
          max={100}
          value={text}
          onChange={(event) => type(event.target.value)}
          onBlur={settle}
        />
      </div>
    </div>
  );
}
