import { readNumber } from '../platform/NumberField.js';
import { askedHow, firstChoice } from './print-choice.js';

describe('what the archive is asked for', () => {
  it('is the drawing as seen from inside unless a person says outside', () => {
    expect(askedHow(firstChoice, readNumber)).toEqual({ paper: 'A4', mirrored: '' });
    expect(askedHow({ ...firstChoice, from: 'outside', paper: 'A3' }, readNumber)).toEqual({
      paper: 'A3',
      mirrored: 'true',
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
    expect(askedHow({ ...firstChoice, print: 'pattern' }, readNumber)).toMatchObject({
      inPlace: '',
    });
    expect(
      askedHow({ ...firstChoice, print: 'pattern', laid: 'in place' }, readNumber),
    ).toMatchObject({ inPlace: 'true' });
  });
});
