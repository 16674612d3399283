import { useEffect, useRef, useState } from 'react';

/** The answer is redone once the hand has rested for this long (milliseconds). */
const restFor = 60;

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
  const [shown, setShown] = useState(worth);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => setShown(worth), [worth]);
  useEffect(() => () => clearTimeout(timer.current), []);
  const set = (text: string): void => {
    const next = Number(text);
    if (text.trim() === '' || !(next >= 0 && next <= 100)) return;
    setShown(next);
    clearTimeout(timer.current);
    timer.current = setTimeout(() => onWorth(next), restFor);
  };
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
          value={shown}
          onChange={(event) => set(event.target.value)}
        />
        <input
          type="number"
          aria-label="Smallest difference worth having, percent"
          min={0}
          max={100}
          value={shown}
          onChange={(event) => set(event.target.value)}
        />
      </div>
    </div>
  );
}
