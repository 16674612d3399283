import { type ComponentType, lazy, useState } from 'react';

export type LaterScreen<P extends object> = {
  /** Reads the screen. Once this has resolved, it is drawn without waiting. */
  readonly read: () => Promise<void>;
  readonly Screen: ComponentType<P>;
};

/**
 * A screen whose code is read when it is wanted. One that was read beforehand is drawn at once:
 * React would first draw the page without it, and then hold it back for 300 ms.
 */
export function readLater<P extends object>(
  fetchScreen: () => Promise<ComponentType<P>>,
): LaterScreen<P> {
  let here: ComponentType<P> | undefined;
  // Drawn with the props of the screen it stands for.
  const Later = lazy(() => fetchScreen().then((screen) => ({ default: screen })));
  function Screen(props: P) {
    // Kept as it was first drawn: another component in its place would lose what was typed.
    const [Drawn] = useState<ComponentType<P>>(() => here ?? (Later as ComponentType<P>));
    return <Drawn {...props} />;
  }
  const read = async (): Promise<void> => {
    here = await fetchScreen();
  };
  return { read, Screen };
}
