import { createContext, type ReactNode, useContext, useMemo, useState } from 'react';

const Announce = createContext<(text: string) => void>(() => undefined);

/** Says a line to those who hear the page instead of seeing it. */
export const useAnnounce = (): ((text: string) => void) => useContext(Announce);

/** The page's one live region. Progress, savings and removals are spoken through it. */
export function Announcer({ children }: { readonly children: ReactNode }) {
  const [line, setLine] = useState({ text: '', turn: 0 });
  const announce = useMemo(
    () => (text: string) => setLine((was) => ({ text, turn: was.turn + 1 })),
    [],
  );
  return (
    <Announce value={announce}>
      {children}
      {/* The odd no-break space makes a line heard again when the same words are said twice. */}
      <div className="heard-only" role="status" aria-live="polite" data-testid="announcer">
        {line.text}
        {line.turn % 2 === 1 ? '\u00a0' : ''}
      </div>
    </Announce>
  );
}
