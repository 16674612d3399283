import { expect, it } from 'vitest';
import { qrText } from '../../gallery/read-pdf';
import { qrMark, qrSquare } from './qr';

const link = 'https://garden.example/#/stake/3f2b8c1e-7a4d-4c0b-9e52-d1a6b7c80f21/K7';

/** The drawn boxes as pixels, eight to a millimetre. */
function drawn(text: string, side: number) {
  const per = 8;
  const size = side * per;
  const grey = new Uint8Array(size * size).fill(255);
  const square = qrSquare(text, side, 0.7)!;
  for (const box of qrMark(square, { x: 0, y: 0, width: side, height: side }).boxes) {
    for (let y = Math.round(box.y * per); y < Math.round((box.y + box.height) * per); y++) {
      const from = y * size + Math.round(box.x * per);
      grey.fill(0, from, y * size + Math.round((box.x + box.width) * per));
    }
  }
  return { width: size, height: size, grey };
}

it('draws boxes that another program reads as the text', () => {
  expect(qrText(drawn(link, 37))).toBe(link);
  expect(qrText(drawn('Beet für Köln/Ж', 37))).toBe('Beet für Köln/Ж');
});

it('is still read with a splash of mud on it', () => {
  const picture = drawn(link, 37);
  for (let y = 150; y < 185; y++)
    picture.grey.fill(0, y * picture.width + 150, y * picture.width + 185);
  expect(qrText(picture)).toBe(link);
});

it('takes the strongest correction whose modules stay wide enough, and says when none does', () => {
  expect(qrSquare('K7', 37, 0.7)?.level).toBe('H');
  const square = qrSquare(link, 37, 0.7)!;
  expect(37 / (square.modules.length + 8)).toBeGreaterThanOrEqual(0.7);
  expect(qrSquare('x'.repeat(300), 37, 0.7)).toBeUndefined();
  expect(qrSquare('K7', 5, 0.7)).toBeUndefined();
});
