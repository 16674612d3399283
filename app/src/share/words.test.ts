import { describe, expect, it } from 'vitest';
import {
  broughtBackWords,
  keepingWords,
  roomWords,
  safetyWords,
  sizeText,
  takenWords,
} from './words';

describe('a database that the browser threw away', () => {
  it('is told of, with what was put back', () => {
    const at = new Date(2026, 4, 4, 12).getTime();
    expect(broughtBackWords({ at, entries: 1 })).toBe(
      'The browser had thrown its own database away by 4 May 2026. 1 entry was put back from the second copy. Look whether all is there, and save a back-up.',
    );
  });
});

describe('sizes', () => {
  it('have the unit in which they are short', () => {
    expect([1, 640_000, 999_600, 3_400_000, 12_000_000_000].map(sizeText)).toEqual([
      '1 kB',
      '640 kB',
      '1 MB',
      '3.4 MB',
      '12 GB',
    ]);
  });
});

describe('how safe a trial is', () => {
  it('is told by its last back-up and what came since', () => {
    expect(safetyWords({ entriesSinceBackup: 240 })).toBe(
      'No back-up was ever saved. 240 entries are on this device alone.',
    );
    const lastBackup = new Date(2026, 4, 4, 14, 5).getTime();
    expect(safetyWords({ lastBackup, entriesSinceBackup: 0 })).toBe(
      'The last back-up is of 4 May 2026. Nothing was written since.',
    );
    expect(safetyWords({ lastBackup, entriesSinceBackup: 1 })).toBe(
      'The last back-up is of 4 May 2026. 1 entry was written since.',
    );
  });

  it('says what the browser has promised, and nothing it has not', () => {
    expect(keepingWords({ persisted: true, entriesSinceBackup: 0 })).toContain('promised');
    expect(keepingWords({ persisted: false, entriesSinceBackup: 0 })).toContain('may clear it');
    expect(keepingWords({ entriesSinceBackup: 0 })).toContain('does not say');
    expect(roomWords({ usage: 1_200_000, quota: 2_001_200_000, entriesSinceBackup: 0 })).toBe(
      '1.2 MB in use by Fairbed, 2 GB free for it.',
    );
    expect(roomWords({ entriesSinceBackup: 0 })).toBeUndefined();
  });
});

describe('what came of a file', () => {
  const merged = { kind: 'merged', id: 't', photos: 0, notes: [] } as const;

  it('tells what was new and what clashes', () => {
    expect(takenWords({ ...merged, fresh: 12, clashes: 1 }, 'a.zip')).toBe(
      'a.zip brought 12 entries that were not here. Nothing was overwritten. Entries clash about 1 thing: choose which is right.',
    );
    expect(takenWords({ ...merged, fresh: 0, clashes: 0 }, 'a.zip')).toBe(
      'a.zip held nothing new. All its entries are here already.',
    );
    expect(takenWords({ ...merged, kind: 'new', fresh: 3, clashes: 0, photos: 2 }, 'a.zip')).toBe(
      'a.zip is a trial new to this device: 3 entries, 2 photos with it.',
    );
  });

  it('says of a damaged file that nothing was changed', () => {
    expect(takenWords({ kind: 'refused', problems: [] }, 'a.zip')).toBe(
      'a.zip was refused. Nothing was changed.',
    );
  });
});
