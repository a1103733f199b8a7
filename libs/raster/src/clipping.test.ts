import { clipping } from './clipping.js';

describe('clipping', () => {
  it('counts pixels at either end of the scale', () => {
    const pixels = [255, 10, 10, 255, 0, 0, 0, 255, 120, 130, 140, 255, 200, 254, 3, 255];
    expect(clipping(pixels, 4)).toEqual({ brightShare: 0.5, darkShare: 0.25 });
  });
  it('counts nothing in no picture', () => {
    expect(clipping([], 3)).toEqual({ brightShare: 0, darkShare: 0 });
  });
});
