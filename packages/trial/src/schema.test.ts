import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { trialSchema } from './schema';

type Def = {
  readonly type: string;
  readonly shape?: Readonly<Record<string, Schema>>;
  readonly element?: Schema;
  readonly innerType?: Schema;
  readonly in?: Schema;
};
type Schema = { readonly _zod: { readonly def: Def } };

/** Every key of the document, however deep. */
function keysOf({ _zod: { def } }: Schema): string[] {
  const inner = [def.element, def.innerType, def.in].filter((one) => one !== undefined);
  const fields = Object.entries(def.shape ?? {});
  return [
    ...fields.map(([key]) => key),
    ...[...inner, ...fields.map(([, schema]) => schema)].flatMap(keysOf),
  ];
}

it('docs/trial-format.md names every key of the document', () => {
  const page = readFileSync(new URL('../../../docs/trial-format.md', import.meta.url), 'utf8');
  const keys = [...new Set(keysOf(trialSchema))];
  expect(keys.length).toBeGreaterThan(80);
  expect(keys.filter((key) => !new RegExp(`\\b${key}\\b`).test(page))).toEqual([]);
});
