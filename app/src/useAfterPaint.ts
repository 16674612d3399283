import { startTransition, useEffect, useState } from 'react';

/**
 * False until what is on the page now has been painted. Drawings are begun then, so that they
 * never hold up the sentence they prove.
 */
export function useAfterPaint(): boolean {
  const [painted, setPainted] = useState(false);
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    // A frame is painted after its callbacks; the timer fires behind the paint.
    const frame = requestAnimationFrame(() => {
      timer = setTimeout(() => startTransition(() => setPainted(true)));
    });
    return () => {
      cancelAnimationFrame(frame);
      clearTimeout(timer);
    };
  }, []);
  return painted;
}
