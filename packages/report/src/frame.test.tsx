import type { ReactElement } from 'react';
import { describe, expect, it } from 'vitest';
import { lightOf, type Pick, Pickable } from './frame';

const hit = { x: 0, y: 0, width: 44, height: 44 };

/** The button of a pickable as React would make it, its handlers callable. */
function buttonOf(pick: Pick, lit: Pick | undefined, onPick: (pick: Pick | undefined) => void) {
  const made = Pickable({ pick, label: 'one', lit, onPick, hit }) as Group;
  const { onClick, children } = made.props;
  return { onClick, ...children[1].props };
}
type Group = ReactElement<{
  onClick: () => void;
  children: [ReactElement, ReactElement<Button>];
}>;
type Button = {
  onKeyDown: (event: { key: string; preventDefault: () => void }) => void;
  'aria-pressed': boolean;
  tabIndex: number;
  role: string;
};

describe('Pickable', () => {
  it('picks by pointer, Enter and Space, and by no other key', () => {
    const picked: (Pick | undefined)[] = [];
    const button = buttonOf({ treatment: 'A' }, undefined, (pick) => picked.push(pick));
    expect(button).toMatchObject({ role: 'button', tabIndex: 0, 'aria-pressed': false });
    let prevented = 0;
    const press = (key: string) => button.onKeyDown({ key, preventDefault: () => prevented++ });
    button.onClick();
    press('Enter');
    press(' ');
    press('a');
    press('Tab');
    expect(picked).toEqual([{ treatment: 'A' }, { treatment: 'A' }, { treatment: 'A' }]);
    expect(prevented).toBe(2);
  });

  it('lets go of what is lit already', () => {
    const picked: (Pick | undefined)[] = [];
    const button = buttonOf({ treatment: 'A' }, { treatment: 'A' }, (pick) => picked.push(pick));
    expect(button['aria-pressed']).toBe(true);
    button.onClick();
    expect(picked).toEqual([undefined]);
  });
});

describe('lightOf', () => {
  it.each([
    [{ treatment: 'A' }, undefined, 'plain'],
    [{ treatment: 'A' }, {}, 'plain'],
    [{ treatment: 'A' }, { treatment: 'A' }, 'lit'],
    [{ treatment: 'B' }, { treatment: 'A' }, 'dimmed'],
    [{ treatment: 'A', plot: '1' }, { treatment: 'A' }, 'lit'],
    [{ treatment: 'A', plot: '1' }, { treatment: 'A', plot: '2' }, 'dimmed'],
    [{ treatment: 'A', plot: '2' }, { plot: '2' }, 'lit'],
    [{ treatment: 'A' }, { plot: '2' }, 'plain'],
  ] as const)('%j beside %j is %s', (own, lit, light) => {
    expect(lightOf(own, lit)).toBe(light);
  });
});
