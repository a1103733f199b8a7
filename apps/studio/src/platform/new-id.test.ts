import { webcrypto } from 'node:crypto';
import { newId } from './new-id.js';

// RFC 9562 § 5.4: version 4, variant 10
const VERSION_4 = /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

describe('newId', () => {
  it('is a UUID of version 4, on a secure page and on one that is not', () => {
    expect(newId()).toMatch(VERSION_4);
    const before = globalThis.crypto;
    Object.defineProperty(globalThis, 'crypto', {
      configurable: true,
      value: { getRandomValues: webcrypto.getRandomValues.bind(webcrypto) },
    });
    const made = Array.from({ length: 200 }, newId);
    Object.defineProperty(globalThis, 'crypto', { configurable: true, value: before });
    expect(made.every((id) => VERSION_4.test(id))).toBe(true);
    expect(new Set(made).size).toBe(200);
  });
});
