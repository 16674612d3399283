import { describe, expect, it } from 'vitest';
import { dayAxisTitle, dayScale, labelledRounds, placeEvents } from './day-axis';
import { type } from './frame';
import { textWidth } from './text';

const daily = Array.from({ length: 30 }, (_, day) => ({ day, date: undefined }));

describe('the axis of days', () => {
  it('labels as many rounds as have room, the last always, none touching', () => {
    const scale = dayScale(daily, 40, 260);
    const labels = labelledRounds(scale);
    expect(labels.at(-1)?.day).toBe(29);
    expect(labels.length).toBeGreaterThan(4);
    labels.slice(1).forEach((label, i) => {
      const before = labels[i];
      const gap =
        scale.at(label.day) -
        scale.at(before.day) -
        (textWidth(label.text, type.tick) + textWidth(before.text, type.tick)) / 2;
      expect(gap).toBeGreaterThan(5);
    });
  });

  it('says the year of dated rounds, both where a season spans two', () => {
    const dates = (list: string[]) => list.map((date, day) => ({ day, date }));
    expect(dayAxisTitle(dayScale(dates(['2026-05-04', '2026-05-11']), 0, 100))).toBe('2026');
    expect(dayAxisTitle(dayScale(dates(['2026-12-30', '2027-01-06']), 0, 100))).toBe(
      '2026 to 2027',
    );
    expect(dayAxisTitle(dayScale(daily, 0, 100))).toBe('days after the first round');
  });

  it('gives events that would collide rows of their own, and leaves out what is off the axis', () => {
    const scale = dayScale(daily, 40, 260);
    const events = [
      { day: 12, label: 'storm' },
      { day: 10, label: 'second spray' },
      { day: 28, label: 'a long label near the edge' },
      { day: 90, label: 'after the end' },
    ];
    const placed = placeEvents(events, scale, { left: 10, right: 300 });
    expect(placed.map((e) => e.label)).toEqual([
      'second spray',
      'storm',
      'a long label near the edge',
    ]);
    expect(placed[1].row).not.toBe(placed[0].row);
    const last = placed[2];
    expect(last.textX + textWidth(last.label, type.tick)).toBeLessThanOrEqual(300);
  });
});
