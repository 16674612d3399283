import { describe, expect, it } from 'vitest';
import { readRoute, sheetHref, shelfHref, trialHref } from './route';

describe('the address', () => {
  it('opens the shelf when nothing is asked for', () => {
    expect(readRoute('')).toEqual({ screen: 'shelf' });
    expect(readRoute(shelfHref)).toEqual({ screen: 'shelf' });
    expect(readRoute(sheetHref)).toEqual({ screen: 'sheet' });
  });

  it('brings a trial and the choices made on it back', () => {
    const view = { outcome: 'audpc-incidence', control: 'T 1', worth: 0 };
    expect(readRoute(trialHref('a/b é', view))).toEqual({ screen: 'trial', id: 'a/b é', view });
    expect(readRoute(trialHref('x'))).toEqual({ screen: 'trial', id: 'x', view: {} });
  });

  it('leaves out a smallest difference that is none', () => {
    for (const worth of ['', '%20', 'abc', '-1', '101', 'Infinity']) {
      expect(readRoute(`#/trial/x?worth=${worth}`)).toEqual({ screen: 'trial', id: 'x', view: {} });
    }
  });

  it('says so when an address names no screen', () => {
    expect(readRoute('#/nowhere').screen).toBe('unknown');
    expect(readRoute('#/trial').screen).toBe('unknown');
    expect(readRoute('#/trial/%E0%A4%A').screen).toBe('unknown');
  });
});
