import 'fake-indexeddb/auto';
import type { Entry } from '@fairbed/notebook';
import { scoreThing } from '@fairbed/trial';
import { deleteDB } from 'idb';
import { beforeEach, describe, expect, it } from 'vitest';
import { readRecord, removeBook } from './bookCards';
import { databaseName, forgetConnection } from './database';
import { entriesStore } from './entriesStore';
import { takeInEntries, takeInPackage } from './exchange';
import { eraseBook, openBook, openNow, startBook } from './openBook';
import { packed, unpacked } from './packing';
import { photosOf, readPhoto, storePhoto } from './photoStore';
import { sha256 } from './sha256';

const id = 'leeks2026abc';
const cell = { round: 'r1', plot: '101', plant: '3' };
const standing = scoreThing({ ...cell, field: 'standing' });
// The first bytes of a JPEG, and a picture of no leaf.
const picture = new Uint8Array([
  0xff,
  0xd8,
  0xff,
  ...Array.from({ length: 500 }, (_, i) => i % 251),
]);

async function makeBook(): Promise<string> {
  const open = startBook(id);
  await open.write('plan', 'title', 'Two waters, "=1+1"');
  await open.write('score', standing, 9);
  await open.write('score', standing, 10);
  const hash = await sha256(picture);
  await storePhoto(id, { hash, type: 'image/jpeg', bytes: picture.slice().buffer });
  const size = { width: 20, height: 10, bytes: picture.length, type: 'image/jpeg' };
  await open.write('photo', hash, { day: '2026-05-05', plot: '101', ...size });
  return hash;
}

const pack = (document: string, unsaved: readonly Entry[] = []) =>
  packed({ document, unsaved, photos: true });

const stored = async (): Promise<readonly unknown[]> =>
  ((await entriesStore.read(id)) as Entry[]).toSorted((a, b) => (a.clock < b.clock ? -1 : 1));

beforeEach(async () => {
  if (openNow(id)) await eraseBook(id);
  await forgetConnection();
  await deleteDB(databaseName);
});

describe('a trial out and in as a data package', () => {
  it('comes back whole on a device that has none of it, photos included', async () => {
    const hash = await makeBook();
    const entries = await stored();
    const { bytes } = await pack(id);
    await eraseBook(id);
    expect(await readPhoto(hash)).toBeUndefined();
    const taken = await takeInPackage(await unpacked(bytes, 'leeks.zip'));
    expect(taken).toEqual({
      kind: 'new',
      id,
      fresh: 4,
      photos: 1,
      clashes: 0,
      notes: [],
    });
    expect(await stored()).toEqual(entries);
    const photo = await readPhoto(hash);
    expect(photo?.type).toBe('image/jpeg');
    expect(new Uint8Array((await photo?.arrayBuffer()) ?? [])).toEqual(picture);
    expect((await readRecord(id))?.face?.title).toBe('Two waters, "=1+1"');
    expect((await pack(id)).bytes).toEqual(bytes);
  });

  it('joins the book of the same id, nothing overwritten, and clashes are counted', async () => {
    await makeBook();
    const { bytes } = await pack(id);
    await eraseBook(id);
    // Another device, on which the same plant is scored knowing nothing of the first.
    const other = startBook(id);
    await other.write('score', standing, 7);
    const [own] = other.book.entries();
    await removeBook(id, 5);
    const taken = await takeInPackage(await unpacked(bytes, 'leeks.zip'));
    expect(taken).toMatchObject({ kind: 'merged', fresh: 4, clashes: 1 });
    expect(
      other.book
        .history('score', standing)
        .map(({ value }) => value)
        .toSorted(),
    ).toEqual([10, 7, 9]);
    expect(await stored()).toHaveLength(5);
    expect(await stored()).toContainEqual(own);
    expect((await readRecord(id))?.removedAt).toBeUndefined();
    const again = await takeInPackage(await unpacked(bytes, 'leeks.zip'));
    expect(again).toMatchObject({ kind: 'merged', fresh: 0 });
    expect(await stored()).toHaveLength(5);
  });

  it('is refused whole, with reasons, wherever a byte of it is changed', async () => {
    await makeBook();
    const { bytes } = await pack(id);
    await eraseBook(id);
    let refused = 0;
    for (let at = 40; at < bytes.length; at += 211) {
      const damaged = bytes.slice();
      damaged[at] = (damaged[at] ?? 0) ^ 0x55;
      const taken = await takeInPackage(await unpacked(damaged, 'leeks.zip'));
      if (taken.kind !== 'refused') {
        // A byte that means nothing to the content: what was taken in is the whole of it.
        expect(taken).toMatchObject({ kind: 'new', fresh: 4, photos: 1 });
        await eraseBook(id);
        continue;
      }
      refused += 1;
      expect(taken.problems.length).toBeGreaterThan(0);
      expect(await entriesStore.documents()).toEqual([]);
      expect(await photosOf(id)).toEqual([]);
    }
    expect(refused).toBeGreaterThan(10);
  });

  it('holds what is not on disk yet', async () => {
    await makeBook();
    const open = await openBook(id);
    const clock = `${open.book.latest()?.slice(0, 13) ?? ''}-w9`;
    const late: Entry = { ...open.book.entries()[1], id: 'w9.1', clock };
    const { entries } = await pack(id, [late]);
    expect(entries).toBe(5);
  });
});

describe('a list of entries', () => {
  it('is taken in or refused whole', async () => {
    await makeBook();
    const entries = (await stored()) as readonly Entry[];
    await eraseBook(id);
    const bad = { ...entries[1], id: 'w1.1', value: -4 };
    const refused = await takeInEntries({ id, entries: [...entries, bad] });
    expect(refused.kind).toBe('refused');
    expect(await entriesStore.documents()).toEqual([]);
    const changed = { ...entries[1], value: 5 };
    expect((await takeInEntries({ id, entries })).kind).toBe('new');
    expect((await takeInEntries({ id, entries: [changed] })).kind).toBe('refused');
    expect(await stored()).toEqual(entries);
    expect((await openBook(id)).trial().title).toBe('Two waters, "=1+1"');
  });
});
