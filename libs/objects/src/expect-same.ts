import { expect } from '@jest/globals';

/** Bytes as one value: comparing large ones member by member takes minutes. */
export function expectSame(found: Uint8Array, expected: Uint8Array): void {
  expect({ length: found.length, isSame: Buffer.compare(found, expected) === 0 }).toEqual({
    length: expected.length,
    isSame: true,
  });
}
