import { alignedTile } from './aligned-tile.js';
import { readImageRequest } from './image-request.js';

const picture = { widthPx: 1001, heightPx: 701 };
const tileOf = (text: string) => {
  const [region, size, rotation, file] = text.split('/') as [string, string, string, string];
  const [quality, format] = file.split('.') as [string, string];
  const plan = readImageRequest(
    { region, size, rotation, quality, format },
    { ...picture, maxAreaPx: 1e7 },
  );
  return alignedTile(plan, picture, 256, 3);
};

describe('alignedTile', () => {
  it.each([
    ['0,0,256,256/256,256/0/default.jpg', 0, 0, 0, 256, 256],
    ['256,512,256,189/256,/0/default.jpg', 0, 1, 2, 256, 189],
    ['768,512,233,189/233,189/0/color.jpg', 0, 3, 2, 233, 189],
    ['512,0,489,512/245,256/0/default.jpg', 1, 1, 0, 245, 256],
    ['full/251,176/0/default.jpg', 2, 0, 0, 251, 176],
  ])('%s', (text, level, column, row, widthPx, heightPx) => {
    expect(tileOf(text)).toEqual({ level, column, row, widthPx, heightPx });
  });

  it.each([
    '1,0,256,256/256,256/0/default.jpg',
    '0,0,256,256/128,128/0/default.jpg',
    '0,0,200,200/200,200/0/default.jpg',
    '0,0,256,256/256,256/90/default.jpg',
    '0,0,256,256/256,256/!0/default.jpg',
    '0,0,256,256/256,256/0/gray.jpg',
    '0,0,256,256/256,256/0/default.png',
    'full/max/0/default.jpg',
  ])('cuts %s anew', (text) => {
    expect(tileOf(text)).toBeUndefined();
  });

  it('finds every tile of a grid once', () => {
    const seen = new Set<string>();
    for (const scale of [1, 2, 4]) {
      for (let y = 0; y < 701; y += 256 * scale) {
        for (let x = 0; x < 1001; x += 256 * scale) {
          const w = Math.min(256 * scale, 1001 - x);
          const h = Math.min(256 * scale, 701 - y);
          const size = `${Math.ceil(w / scale)},${Math.ceil(h / scale)}`;
          const tile = tileOf(`${x},${y},${w},${h}/${size}/0/default.jpg`);
          seen.add(`${tile!.level}/${tile!.column}/${tile!.row}`);
        }
      }
    }
    expect(seen.size).toBe(4 * 3 + 2 * 2 + 1);
  });
});
