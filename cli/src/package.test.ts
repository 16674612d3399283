// Data packages with a ledger on the command line: sound, damaged, edited.
import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { trialToPackage } from '@fairbed/files';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { afterAll, describe, expect, it } from 'vitest';
import { makeSeason } from '../../packages/files/gallery/makeseason';
import { checkCommand } from './check';
import { judgeCommand } from './judge';

const folder = mkdtempSync(join(tmpdir(), 'fairbed-package-'));
afterAll(() => rmSync(folder, { recursive: true }));
const file = (name: string, content: Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
};

const { trial, entries } = makeSeason({ blocks: 4, treatments: 3, plants: 2, rounds: 2 });
const leaf = Uint8Array.from([0xff, 0xd8, 0xff, 5]);
const photos = new Map([[createHash('sha256').update(leaf).digest('hex'), leaf]]);
const sound = trialToPackage(trial, { entries, photos });
const repacked = (path: string, edit: (text: string) => string): Uint8Array => {
  const files = unzipSync(sound);
  return zipSync({ ...files, [path]: strToU8(edit(strFromU8(files[path]))) });
};
type Checked = {
  readonly faults: readonly {
    readonly code: string;
    readonly row: number | null;
    readonly what: string;
    readonly do: string;
  }[];
  readonly rows: { readonly read: number };
};
const check = (path: string): Checked & { readonly status: number } => {
  const { out, status } = checkCommand(path, { json: true });
  return { ...(JSON.parse(out) as Checked), status };
};
const damage = ['package-', 'entries-', 'photo-', 'zip-'];
const damaged = ({ faults }: Checked) =>
  faults.filter((f) => damage.some((d) => f.code.startsWith(d)));

describe('a package with a ledger and a photo', () => {
  it('is judged as its trial is, and checked without a fault of the package', () => {
    const path = file('sound.zip', sound);
    const alone = file('trial.json', strToU8(JSON.stringify(trial)));
    const judged = judgeCommand(path, { json: true });
    expect(judged.status).toBe(0);
    expect(JSON.parse(judged.out)).toEqual(JSON.parse(judgeCommand(alone, { json: true }).out));
    const checked = check(path);
    expect(damaged(checked)).toEqual([]);
    expect(checked.rows.read).toBe(trial.scores.length);
  });

  it.each([
    [
      'a row of the ledger cut',
      repacked('entries.csv', (t) => t.replace(/,\[\](\r\n)/, '$1')),
      'entries-cells',
      2,
    ],
    [
      'a row of the ledger lost',
      repacked('entries.csv', (t) => t.replace(/\r\n[^\r]*/, '')),
      'entries-changed',
      null,
    ],
    ['its end cut off', sound.subarray(0, sound.length - 100), 'package-cut', null],
    [
      'a photo changed',
      repacked(
        [...Object.keys(unzipSync(sound))].find((n) => n.startsWith('photos/')) ?? '',
        (t) => `${t}x`,
      ),
      'photo-changed',
      null,
    ],
  ] as const)('%s: check says so, judge refuses it', (_what, bytes, code, row) => {
    const path = file('damaged.zip', bytes);
    const { faults, rows, status } = check(path);
    expect(status).toBe(1);
    expect(faults.map((f) => [f.code, f.row])).toEqual([[code, row]]);
    expect(faults[0].do).toContain('Nothing was taken in.');
    expect(rows.read).toBe(0);
    const judged = judgeCommand(path, {});
    expect(judged.status).toBe(1);
    expect(judged.out).toBe('');
    expect(judged.err).toContain('damaged.zip');
  });
});
