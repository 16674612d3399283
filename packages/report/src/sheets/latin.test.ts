import { expect, it } from 'vitest';
import { writable } from './latin';

const western = (letter: string): boolean => /[ -~À-ÿŠšŽž€]/u.test(letter);
const text = (from: string): string => writable(from, western).text;

it('keeps what can be written', () => {
  expect(writable('Mizuna, 2 g/l à Köln', western)).toEqual({
    text: 'Mizuna, 2 g/l à Köln',
    changed: false,
  });
});

it('drops marks and spells Greek and Cyrillic letter by letter, capital for capital', () => {
  expect(text('Miedź, ługowanie, ČEŘ')).toBe('Miedz, lugowanie, CER');
  expect(text('Χαλκός')).toBe('Chalkos');
  expect(text('Мідь Щука')).toBe("Mid' Shchuka");
});

it('puts a question mark for what it has no letter for, and says so', () => {
  expect(writable('銅 1', western)).toEqual({ text: '? 1', changed: true });
});

it('makes white space plain', () => {
  expect(text(' a\n\tb\u0000c ')).toBe('a b c');
});
