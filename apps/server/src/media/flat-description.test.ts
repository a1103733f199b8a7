import { readFlatDescription } from './flat-description.js';

const file = { fileName: 'a.jpg', kind: 'photograph' };

describe('readFlatDescription', () => {
  it('takes light without a direction', () => {
    const { description } = readFlatDescription(
      { fileName: 'a.jpg', kind: 'photograph', light: 'transmitted' },
      'query',
    );
    expect(description.light).toEqual({ kind: 'transmitted' });
  });

  it('gathers light and subjects', () => {
    const said = readFlatDescription(
      {
        ...file,
        light: 'raking',
        clockHour: '10.5',
        elevationDeg: '15',
        subjects: 'wI.2b, SLM.wI.2b.17,',
        note: '',
      },
      'query',
    );
    expect(said.description).toEqual({
      kind: 'photograph',
      stage: 'undated',
      light: { kind: 'raking', clockHour: 10.5, elevationDeg: 15 },
      subjects: ['wI.2b', 'SLM.wI.2b.17'],
    });
  });

  it.each([
    [{ fileName: 'a.jpg' }, 'kind'],
    [{ ...file, kind: 'painting' }, 'kind'],
    [{ kind: 'photograph' }, 'fileName'],
    [{ ...file, stage: 'later' }, 'stage'],
    [{ ...file, light: 'candle' }, 'light'],
    [{ ...file, light: 'raking' }, 'clockHour'],
    [{ ...file, light: 'raking', clockHour: '13' }, 'clockHour'],
    [{ ...file, light: 'raking', clockHour: 'noon' }, 'clockHour'],
    [{ ...file, light: 'raking', clockHour: '3', elevationDeg: '91' }, 'elevationDeg'],
    [{ ...file, clockHour: '3' }, 'clockHour'],
    [{ ...file, face: 'left' }, 'face'],
    [{ ...file, colour: 'red' }, 'query'],
  ])('refuses %j naming %s', (flat, field) => {
    expect(() => readFlatDescription(flat, 'query')).toThrow(
      expect.objectContaining({ members: expect.objectContaining({ field }) as unknown }) as Error,
    );
  });
});
