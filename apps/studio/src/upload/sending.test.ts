import { createHash } from 'node:crypto';
import { type Description, digestOf, metadataOf } from './sending.js';

const description: Description = {
  siteId: 's',
  kind: 'photograph',
  light: 'raking',
  clockHour: 9,
  elevationDeg: 15,
  stage: 'before',
  face: 'inside',
  layer: 'front',
  subjects: ['SLM.wI.2b', 'SLM.wI.2c'],
  author: '',
  happened: '2026-03-04',
  note: '',
};

describe('metadataOf', () => {
  it('says where the lamp stood only for raking light', () => {
    expect(metadataOf({ name: 'a.jpg' }, description)).toMatchObject({
      clockHour: '9',
      elevationDeg: '15',
      subjects: 'SLM.wI.2b,SLM.wI.2c',
    });
    expect(
      metadataOf({ name: 'a.jpg' }, { ...description, light: 'transmitted' }),
    ).not.toHaveProperty('clockHour');
  });

  it('says nothing of light for a rubbing, and leaves empty members out', () => {
    const metadata = metadataOf({ name: 'a.jpg' }, { ...description, kind: 'rubbing' });
    expect(metadata).not.toHaveProperty('light');
    expect(metadata).not.toHaveProperty('author');
  });
});

describe('digestOf', () => {
  // FIPS 180-4, SHA-256 of "abc" as published in NIST's example values.
  it('is the published digest of abc', async () => {
    expect(await digestOf(new Blob(['abc']))).toBe(
      'sha256:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    );
  });

  it('agrees with another implementation on a file of several pieces', async () => {
    const bytes = new Uint8Array(300_000).map((_, index) => (index * 31) % 251);
    const theirs = createHash('sha256').update(bytes).digest('hex');
    expect(await digestOf(new Blob([bytes]))).toBe(`sha256:${theirs}`);
  });
});
