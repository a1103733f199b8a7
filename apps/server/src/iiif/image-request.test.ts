import { readImageRequest } from './image-request.js';

const picture = { widthPx: 300, heightPx: 200, maxAreaPx: 1_000_000 };
const ask = (text: string, of = picture) => {
  const [region, size, rotation, file] = text.split('/') as [string, string, string, string];
  const [quality, format] = file.split('.') as [string, string];
  return readImageRequest({ region, size, rotation, quality, format }, of);
};

describe('readImageRequest', () => {
  // IIIF Image API 3.0, section 4.1, examples on a picture of 300 × 200
  it.each([
    ['full', [0, 0, 300, 200]],
    ['square', [50, 0, 200, 200]],
    ['125,15,120,140', [125, 15, 120, 140]],
    ['pct:41.6,7.5,40,70', [125, 15, 120, 140]],
    ['125,15,200,200', [125, 15, 175, 185]],
    ['pct:41.6,7.5,66.6,100', [125, 15, 175, 185]],
  ])('region %s', (region, [x, y, widthPx, heightPx]) => {
    expect(ask(`${region}/max/0/default.jpg`).region).toEqual({ x, y, widthPx, heightPx });
  });

  // section 4.2, examples on 300 × 200
  it.each([
    ['max', 300, 200],
    ['150,', 150, 100],
    [',150', 225, 150],
    ['pct:50', 150, 100],
    ['225,100', 225, 100],
    ['!225,100', 150, 100],
    ['^360,', 360, 240],
    ['^,240', 360, 240],
    ['^pct:120', 360, 240],
    ['^360,360', 360, 360],
    ['^!360,360', 360, 240],
    ['!600,600', 300, 200],
  ])('size %s', (size, widthPx, heightPx) => {
    expect(ask(`full/${size}/0/default.jpg`)).toMatchObject({ widthPx, heightPx });
  });

  it('answers max within its own limit', () => {
    const small = { ...picture, maxAreaPx: 15_000 };
    expect(ask('full/max/0/default.jpg', small)).toMatchObject({ widthPx: 150, heightPx: 100 });
    expect(ask('full/^max/0/default.jpg')).toMatchObject({ widthPx: 1224, heightPx: 816 });
  });

  it.each([
    ['!0', 0, true],
    ['90', 90, false],
    ['360', 0, false],
    ['!180', 180, true],
  ])('rotation %s', (rotation, rotationDeg, mirrored) => {
    expect(ask(`full/max/${rotation}/default.jpg`)).toMatchObject({ rotationDeg, mirrored });
  });

  // "400" where section 4 asks for it, "501" where a feature may be left out
  it.each([
    ['300,0,10,10/max/0/default.jpg', 'request-invalid', 'region'],
    ['0,0,0,10/max/0/default.jpg', 'request-invalid', 'region'],
    ['-1,0,10,10/max/0/default.jpg', 'request-invalid', 'region'],
    ['0,0,1.5,10/max/0/default.jpg', 'request-invalid', 'region'],
    ['pct:100,0,10,10/max/0/default.jpg', 'request-invalid', 'region'],
    ['circle/max/0/default.jpg', 'request-invalid', 'region'],
    ['full/301,/0/default.jpg', 'request-invalid', 'size'],
    ['full/0,/0/default.jpg', 'request-invalid', 'size'],
    ['full/,/0/default.jpg', 'request-invalid', 'size'],
    ['full/pct:120/0/default.jpg', 'request-invalid', 'size'],
    ['full/pct:0/0/default.jpg', 'request-invalid', 'size'],
    ['full/full/0/default.jpg', 'request-invalid', 'size'],
    ['full/^9999,/0/default.jpg', 'request-invalid', 'size'],
    ['full/max/361/default.jpg', 'request-invalid', 'rotation'],
    ['full/max/a/default.jpg', 'request-invalid', 'rotation'],
    ['full/max/22.5/default.jpg', 'tile-request-unsupported', 'rotation'],
    ['full/max/0/native.jpg', 'request-invalid', 'quality'],
    ['full/max/0/default.gif', 'request-invalid', 'format'],
  ])('refuses %s', (text, code, field) => {
    expect(() => ask(text)).toThrow(expect.objectContaining({ code, members: { field } }) as Error);
  });
});
