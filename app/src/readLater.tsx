import { type ComponentType, lazy, useState } from 'react';

export type LaterScreen = {
  /** Reads the screen. Once this has resolved, it is drawn without waiting. */
  readonly read: () => Promise<void>;
  readonly Screen: ComponentType;
};

/**
 * A screen whose code is read when it is wanted. One that was read beforehand is drawn at once:
 * React would first draw the page without it, and then hold it back for 300 ms.
 */
export function readLater(fetchScreen: () => Promise<ComponentType>): LaterScreen {
  let here: ComponentType | undefined;
  const Later = lazy(() => fetchScreen().then((screen) => ({ default: screen })));
  function Screen() {
    // Kept as it was first drawn: another component in its place would lose what was typed.
    const [Drawn] = useState(() => here ?? Later);
    return <Drawn />;
  }
  const read = async (): Promise<void> => {
    here = await fetchScreen();
  };
  return { read, Screen };
}
