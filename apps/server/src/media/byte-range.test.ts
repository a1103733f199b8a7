import { readByteRange } from './byte-range.js';

// RFC 9110 section 14.1.2, its examples for a representation of 10,000 bytes, and the edges
describe('readByteRange', () => {
  it.each([
    ['bytes=0-499', { start: 0, end: 500 }],
    ['bytes=500-999', { start: 500, end: 1000 }],
    ['bytes=-500', { start: 9500, end: 10_000 }],
    ['bytes=9500-', { start: 9500, end: 10_000 }],
    ['bytes=0-0', { start: 0, end: 1 }],
    ['bytes=-20000', { start: 0, end: 10_000 }],
    ['bytes=9999-20000', { start: 9999, end: 10_000 }],
    ['bytes=10000-', 'outside'],
    ['bytes=-0', 'outside'],
    ['bytes=0-0,-1', undefined],
    ['bytes=5-4', undefined],
    ['bytes=-', undefined],
    ['lines=0-1', undefined],
    [undefined, undefined],
  ])('%s', (field, expected) => {
    expect(readByteRange(field, 10_000)).toEqual(expected);
  });
});
