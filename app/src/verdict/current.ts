import { createContext, useContext } from 'react';

/**
 * Whether the figures on show are of the question asked now. A context, so that only what must not
 * stand beside another answer is drawn anew when a question changes.
 */
export const CurrentContext = createContext<'old' | 'growing' | 'whole'>('whole');

/** `old`: of the question before; `growing`: of this one, more is being worked out; `whole`: all. */
export const useCurrent = () => useContext(CurrentContext);
