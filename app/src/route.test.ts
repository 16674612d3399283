import { describe, expect, it } from 'vitest';
import {
  bedHref,
  historyHref,
  photosHref,
  planHref,
  readRoute,
  scoreHref,
  shareHref,
  sheetHref,
  shelfHref,
  stakeHref,
  stakesHref,
  trialHref,
  type View,
} from './route';

describe('the address', () => {
  it('opens the shelf when nothing is asked for', () => {
    expect(readRoute('')).toEqual({ screen: 'shelf' });
    expect(readRoute(shelfHref)).toEqual({ screen: 'shelf' });
    expect(readRoute(sheetHref)).toEqual({ screen: 'sheet' });
  });

  it('brings a trial and the choices made on it back', () => {
    const view: View = {
      outcome: 'audpc-incidence',
      control: 'T 1',
      method: 'leaves',
      look: 'r/3',
      worth: 0,
    };
    expect(readRoute(trialHref('a/b é', view))).toEqual({ screen: 'trial', id: 'a/b é', view });
    expect(readRoute(trialHref('x'))).toEqual({ screen: 'trial', id: 'x', view: {} });
  });

  it('opens every screen of a trial, whatever signs its ids hold', () => {
    const id = 'a/b é';
    expect(readRoute(planHref(id))).toEqual({ screen: 'plan', id });
    expect(readRoute(bedHref(id))).toEqual({ screen: 'bed', id });
    expect(readRoute(stakesHref(id))).toEqual({ screen: 'stakes', id });
    expect(readRoute(photosHref(id))).toEqual({ screen: 'photos', id });
    expect(readRoute(shareHref(id))).toEqual({ screen: 'share', id });
    expect(readRoute(stakeHref(id, 'K7'))).toEqual({ screen: 'stake', id, code: 'K7' });
    const score = { screen: 'score', id, round: 'r/1' };
    expect(readRoute(scoreHref(id, 'r/1'))).toEqual(score);
    expect(readRoute(scoreHref(id, 'r/1', '%2F'))).toEqual({ ...score, plot: '%2F' });
    expect(readRoute(scoreHref(id, 'r/1', '101', 'p?3'))).toEqual({
      ...score,
      plot: '101',
      plant: 'p?3',
    });
    const history = { screen: 'history', id };
    expect(readRoute(historyHref(id))).toEqual(history);
    expect(readRoute(historyHref(id, 'round'))).toEqual({ ...history, kind: 'round' });
    expect(readRoute(historyHref(id, 'score', 'r1/101///value'))).toEqual({
      ...history,
      kind: 'score',
      thing: 'r1/101///value',
    });
  });

  it('leaves out a smallest difference that is none', () => {
    for (const worth of ['', '%20', 'abc', '-1', '101', 'Infinity']) {
      expect(readRoute(`#/trial/x?worth=${worth}`)).toEqual({ screen: 'trial', id: 'x', view: {} });
    }
  });

  it('leaves out a method that is none', () => {
    expect(readRoute('#/trial/x?method=guess')).toEqual({ screen: 'trial', id: 'x', view: {} });
  });

  it('says so when an address names no screen', () => {
    expect(readRoute('#/nowhere').screen).toBe('unknown');
    expect(readRoute('#/trial').screen).toBe('unknown');
    expect(readRoute('#/trial/%E0%A4%A').screen).toBe('unknown');
    for (const hash of [
      '#/plan',
      '#/plan/x/y',
      '#/score/x',
      '#/score/x/r1/%E0%A4%A',
      '#/score/x/r1/a/b/c',
      '#/stake/x',
      '#/constructor/x',
    ]) {
      expect(readRoute(hash)).toEqual({ screen: 'unknown', asked: hash });
    }
  });
});
