import { type PointerEvent, useRef } from 'react';

/** A sideways stroke of at least so many pixels, and twice as far across as down. */
const far = 80;

/** Strokes of a finger to the left and right, with the same end as the buttons beside. */
export function useSwipe(to: { readonly onLeft: () => void; readonly onRight: () => void }) {
  const from = useRef<{ readonly x: number; readonly y: number }>(undefined);
  return {
    onPointerDown: (event: PointerEvent) => {
      from.current =
        event.pointerType === 'touch' ? { x: event.clientX, y: event.clientY } : undefined;
    },
    onPointerCancel: () => {
      from.current = undefined;
    },
    onPointerUp: (event: PointerEvent) => {
      const start = from.current;
      from.current = undefined;
      if (start === undefined) return;
      const [dx, dy] = [event.clientX - start.x, event.clientY - start.y];
      if (Math.abs(dx) < far || Math.abs(dx) < 2 * Math.abs(dy)) return;
      if (dx < 0) to.onLeft();
      else to.onRight();
    },
  };
}
