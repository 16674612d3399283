import { useEffect, useState } from 'react';
import { registerSW } from 'virtual:pwa-register';

type Offline = {
  /** Everything the app needs is stored on this device. */
  readonly ready: boolean;
  /** Set when a newer version waits: takes it and reloads. Never by itself, work may be open. */
  readonly update?: () => void;
};

/** Fetching the app for later does not hold up what was asked for now (milliseconds). */
const firstRest = 1500;

/** Registers the service worker that keeps the app on the device, and follows its state. */
export function useOffline(): Offline {
  const [offline, setOffline] = useState<Offline>({ ready: false });
  useEffect(() => {
    const register = (): void => {
      const update = registerSW({
        immediate: true,
        onOfflineReady: () => setOffline((was) => ({ ...was, ready: true })),
        onNeedRefresh: () => setOffline((was) => ({ ...was, update: () => void update(true) })),
        onRegisteredSW: (_url, registration) => {
          if (registration?.active) setOffline((was) => ({ ...was, ready: true }));
        },
      });
    };
    const timer = setTimeout(register, firstRest);
    return () => clearTimeout(timer);
  }, []);
  return offline;
}
