import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { canonicalJson } from './canonical';
import { type Line, ledgerOf, plannedLines } from './ledger.cases';
import { frozenPlan, sealed, sealText } from './plan';

const sha256 = (text: string) => createHash('sha256').update(text, 'utf8').digest('hex');

describe('canonical JSON', () => {
  // RFC 8785, section 3.2.2: the sample and its canonical form (from memory; its numbers and escapes
  // were compared with the sample of the authors' draft).
  it('is that of RFC 8785 for the sample of its section 3.2.2', () => {
    const sample = JSON.parse(String.raw`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
      "literals": [null, true, false]
    }`) as unknown;
    expect(canonicalJson(sample)).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    );
  });

  // RFC 8785, section 3.2.3: the property names of its sorting sample (from memory), in their order
  // by code units: the emoji's surrogates come before U+FB33.
  it('sorts keys by UTF-16 code units, as in its section 3.2.3', () => {
    const names = ['\u20ac', '\r', '\ufb33', '1', '\u{1f600}', '\u0080', '\u00f6'];
    const sorted = canonicalJson(Object.fromEntries(names.map((name) => [name, 0])));
    expect(Object.keys(JSON.parse(sorted) as object)).toHaveLength(7);
    expect([...sorted.matchAll(/"((?:[^"\\]|\\.)+)":/g)].map(([, name]) => name)).toEqual([
      '\\r',
      '1',
      '\u0080',
      '\u00f6',
      '\u20ac',
      '\u{1f600}',
      '\ufb33',
    ]);
  });

  it('refuses what JSON has no word for', () => {
    expect(() => canonicalJson([Number.NaN])).toThrow(RangeError);
  });
});

describe('the seal', () => {
  const seal = (lines: readonly Line[], day = '2026-05-20'): Line => {
    const source = ledgerOf(lines);
    return ['seal', 'seal', { hash: sha256(sealText(source)), day, plan: frozenPlan(source) }, day];
  };

  it('has one text for one plan, whatever the order in which it was written', () => {
    const text = sealText(ledgerOf(plannedLines));
    expect(sealText(ledgerOf([...plannedLines].reverse()))).toBe(text);
    expect(text).toMatch(/^\{"control":"none","diseases":\[/);
    expect(text).not.toContain('Copper on chard');
    // Made with node's crypto from the text above, 2026-11-25. It changes only if what is sealed does.
    expect(sha256(text)).toBe('b35623c6304bcbfc77fec9b397dcb44b367f674c8832ff9a419d19545dea737f');
  });

  it('is the text a hand would write for a small plan', () => {
    const small = sealText(
      ledgerOf([
        ['plan', 'worthHaving', 30],
        ['plan', 'title', 'Not sealed'],
        ['plan', 'question', 'Höher?'],
      ]),
    );
    expect(small).toBe('{"question":"Höher?","worthHaving":30}');
    // By sha256sum (coreutils) of that text in UTF-8.
    expect(sha256(small)).toBe('e5f466b614b0afae76b27bdb57ce6468cebc47e3fc5124aa33aa96c45616bb5f');
  });

  it('stands while the plan is the sealed one, and its text gives its hash', () => {
    const lines = [...plannedLines, seal(plannedLines)];
    const state = sealed(ledgerOf(lines));
    if (!state.sealed) throw new Error('not sealed');
    expect(state).toMatchObject({ day: '2026-05-20', same: true });
    expect(sha256(state.text)).toBe(state.hash);
    const titled = sealed(ledgerOf([...lines, ['plan', 'title', 'Another', '2026-06-01']]));
    expect(titled).toMatchObject({ sealed: true, same: true });
    const changed = sealed(ledgerOf([...lines, ['plan', 'worthHaving', 10, '2026-06-01']]));
    expect(changed).toMatchObject({ sealed: true, same: false, hash: state.hash });
    expect(sealed(ledgerOf([...lines, ['seal', 'seal', null]]))).toEqual({ sealed: false });
    expect(sealed(ledgerOf(plannedLines))).toEqual({ sealed: false });
  });
});
