import { readTusChecksum, readTusMetadata } from './tus-metadata.js';

describe('readTusMetadata', () => {
  it('reads pairs, values in base64, a key without value', () => {
    // the example of tus 1.0, section Creation
    expect(
      readTusMetadata('filename d29ybGRfZG9taW5hdGlvbl9wbGFuLnBkZg==,is_confidential'),
    ).toEqual({ filename: 'world_domination_plan.pdf', is_confidential: '' });
    expect(readTusMetadata(undefined)).toEqual({});
  });

  it('reads UTF-8', () => {
    const value = Buffer.from('Fenster süd').toString('base64');
    expect(readTusMetadata(`note ${value}`)).toEqual({ note: 'Fenster süd' });
  });

  it.each(['a YQ==,a YQ==', 'a b c', ' ,a YQ==', 'a §'])('refuses %j', (header) => {
    expect(() => readTusMetadata(header)).toThrow(/cannot be read/);
  });
});

describe('readTusChecksum', () => {
  it('reads the example of tus 1.0, section Checksum', () => {
    // "Hello World" in SHA-1
    const checksum = readTusChecksum('sha1 Kq5sNclPz7QV2+lfQIuc6R7oRu0=');
    expect(checksum?.algorithm).toBe('sha1');
    expect(checksum?.digest.toString('hex')).toBe('2aae6c35c94fcfb415dbe95f408b9ce91ee846ed');
  });

  it.each([
    'md5 1B2M2Y8AsgTpgAmY7PhCfg==',
    'sha1',
    'sha1 YQ==',
    'sha256 Kq5sNclPz7QV2+lfQIuc6R7oRu0=',
  ])('refuses %j', (header) => {
    expect(() => readTusChecksum(header)).toThrow(/cannot be used/);
  });
});
