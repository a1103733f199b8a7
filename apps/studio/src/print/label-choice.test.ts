import { readNumber } from '../platform/NumberField.js';
import { askedLabels, firstLabels, measuredLabel } from './label-choice.js';

const asked = (change: Partial<typeof firstLabels>) =>
  askedLabels({ ...firstLabels, ...change }, '2b', 'http://studio.example', readNumber);

describe('what the archive is asked for labels', () => {
  it('is one label of this panel with its mark, unless a person says more', () => {
    expect(asked({})).toEqual({
      of: 'panels',
      panels: '2b',
      crate: '',
      stock: 'sheet',
      widthMm: '105',
      heightMm: '57',
      skipped: '',
      face: 'inside',
      address: '',
    });
  });

  it('is all panels by naming none, and a crate by those that lie in it', () => {
    expect(asked({ of: 'all panels' })['panels']).toBe('');
    expect(asked({ of: 'crate', crate: 'north 2', inCrate: '2a, 2b 3a' })).toMatchObject({
      of: 'crate',
      crate: 'north 2',
      panels: '2a,2b,3a',
    });
    expect(asked({ of: 'crate' })['panels']).toBe('2b');
  });

  it('is a roll by its length, and a code with an address', () => {
    const roll = asked({ stock: 'roll', rollMm: '40', skipped: '5', code: 'an address' });
    expect(roll).toMatchObject({ heightMm: '40', skipped: '', address: 'http://studio.example' });
    expect(roll).not.toHaveProperty('widthMm');
    expect(measuredLabel({ ...firstLabels, stock: 'roll' })).toBe('62 mm');
    expect(measuredLabel(firstLabels)).toBe('105 mm');
  });
});
