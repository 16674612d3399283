import { type RefObject, startTransition, useEffect, useRef, useState } from 'react';

/**
 * Width in whole pixels of the element the ref is put on; 0 until it has been measured,
 * after the page's words are on screen: a drawing never holds up the sentence it proves.
 */
export function useWidth<T extends HTMLElement>(): readonly [RefObject<T | null>, number] {
  const ref = useRef<T>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = ref.current;
    if (!element) return;
    const measure = (): void => startTransition(() => setWidth(Math.floor(element.clientWidth)));
    measure();
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return [ref, width];
}
