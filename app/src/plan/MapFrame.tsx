import type { ReactNode } from 'react';
import { useWidth } from '../useWidth';

/** Pixels: maps are drawn no narrower. */
const narrowest = 320;

/** Room for a map. On a screen narrower than maps are drawn it scrolls sideways, by keys as well. */
export function MapFrame(props: {
  readonly testId: string;
  readonly draw: (width: number) => ReactNode;
}) {
  const { testId, draw } = props;
  const [ref, width] = useWidth<HTMLDivElement>();
  const scrolls = width > 0 && width < narrowest;
  return (
    <div
      className="plan-map"
      data-testid={testId}
      {...(scrolls
        ? { tabIndex: 0, role: 'group', 'aria-label': 'Map, wider than the screen' }
        : {})}
    >
      <div ref={ref} />
      {width > 0 && draw(width)}
    </div>
  );
}
