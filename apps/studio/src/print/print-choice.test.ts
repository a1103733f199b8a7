import { readNumber } from '../platform/NumberField.js';
import { askedHow, firstChoice } from './print-choice.js';

describe('what the archive is asked for', () => {
  it('is the drawing as seen from inside unless a person says outside', () => {
    const plain = { paper: 'A4', mirrored: '', bothSides: '', numbers: '', overlapMm: '10' };
    expect(askedHow(firstChoice, readNumber)).toEqual(plain);
    expect(askedHow({ ...firstChoice, from: 'outside', paper: 'A3' }, readNumber)).toEqual({
      ...plain,
      paper: 'A3',
      mirrored: 'true',
    });
  });

  it('is both sides in one file, without numbers, with another overlap', () => {
    const choice = { ...firstChoice, from: 'both', numbers: 'without', overlap: '20' } as const;
    expect(askedHow(choice, readNumber)).toMatchObject({
      mirrored: '',
      bothSides: 'true',
      numbers: 'false',
      overlapMm: '20',
    });
  });

  it('is a list with figures as typed; what is no figure is left to the archive', () => {
    expect(
      askedHow(
        {
          ...firstChoice,
          print: 'schedule',
          stickMm: '2000 mm',
          wastePercent: '12,5',
          thicknessMm: 'three',
        },
        readNumber,
      ),
    ).toEqual({ stickMm: '2000', wasteRatio: '0.125', thicknessMm: '' });
  });

  it('is the pattern packed on sheets, or each piece where it stands', () => {
    expect(askedHow({ ...firstChoice, print: 'pattern' }, readNumber)).toEqual({
      paper: 'A4',
      mirrored: '',
    });
    expect(
      askedHow({ ...firstChoice, print: 'pattern', laid: 'in place' }, readNumber),
    ).toMatchObject({ inPlace: 'true' });
  });
});
