import { useEffect, useState } from 'react';
import { onBookChange } from '../book/changes';
import type { Card, Summary } from './card';
import { readAllCards } from './cards';
import { onShelfChange, readSummaries } from './store';

export type Shelf = {
  readonly cards: readonly Card[];
  readonly removed: readonly Card[];
  readonly summaries: ReadonlyMap<string, Summary>;
};

export type ShelfState =
  | { readonly state: 'reading' }
  | { readonly state: 'failed'; readonly fault: Error }
  | { readonly state: 'read'; readonly shelf: Shelf };

async function readShelf(): Promise<Shelf> {
  const [cards, summaries] = await Promise.all([readAllCards(), readSummaries()]);
  return {
    cards: cards.filter((card) => card.removedAt === undefined),
    removed: cards.filter((card) => card.removedAt !== undefined),
    summaries,
  };
}

/** The shelf as stored on this device; follows changes made here and in other tabs. */
export function useShelf(): ShelfState {
  const [state, setState] = useState<ShelfState>({ state: 'reading' });
  useEffect(() => {
    let current = true;
    const read = (): void => {
      void readShelf().then(
        (shelf) => {
          if (current) setState({ state: 'read', shelf });
        },
        (fault: unknown) => {
          const error = fault instanceof Error ? fault : new Error(String(fault));
          if (current) setState({ state: 'failed', fault: error });
        },
      );
    };
    read();
    const stops = [
      onShelfChange(read),
      onBookChange(({ entries }) => {
        // A value that was entered changes no card; the card is told of by itself.
        if (entries.length === 0) read();
      }),
    ];
    return () => {
      current = false;
      for (const stop of stops) stop();
    };
  }, []);
  return state;
}
