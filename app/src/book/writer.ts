const letters = '0123456789abcdefghijklmnopqrstuvwxyz';

/** `length` letters and figures by the browser's own chance, each as likely as any other. */
export function randomLetters(length: number): string {
  let text = '';
  while (text.length < length) {
    // 252 is the largest multiple of 36 in a byte: the rest would favour the first letters.
    for (const byte of crypto.getRandomValues(new Uint8Array(64))) {
      if (byte < 252 && text.length < length) text += letters.charAt(byte % 36);
    }
  }
  return text;
}

const deviceKey = 'fairbed.device';
const nameKey = 'fairbed.name';

// Where a browser refuses to keep anything here, it holds for this visit only.
const thisVisit = new Map<string, string>();

function kept(key: string): string | undefined {
  try {
    return localStorage.getItem(key) ?? thisVisit.get(key);
  } catch {
    return thisVisit.get(key);
  }
}

function keep(key: string, value: string): void {
  thisVisit.set(key, value);
  try {
    localStorage.setItem(key, value);
  } catch {
    // Said by the store of entries, which is what matters.
  }
}

function device(): string {
  const known = kept(deviceKey);
  if (known !== undefined && /^[0-9a-z]{6}$/.test(known)) return known;
  const made = randomLetters(6);
  keep(deviceKey, made);
  return made;
}

/**
 * A writer for one open book: six letters of this device, four by chance. Never the same twice, so
 * that a book which is erased and brought back is not written under ids that others have already.
 */
export const newWriter = (): string => device() + randomLetters(4);

const listeners = new Set<() => void>();

/** The name that the person on this device gave; '' where none. */
export const who = (): string => kept(nameKey) ?? '';

/** Sets the name that goes with what is written on this device from now on. */
export function setWho(name: string): void {
  keep(nameKey, name.trim().slice(0, 100));
  for (const tell of listeners) tell();
}

/** Calls `tell` when the name changes on this page. Returns how to stop. */
export function onWho(tell: () => void): () => void {
  listeners.add(tell);
  return () => {
    listeners.delete(tell);
  };
}
