import fc from 'fast-check';
import { aliasKey } from './alias.js';
import { compareMarks, compareNatural } from './compare.js';
import { fileForm, parseFileForm } from './file-form.js';
import { formatInBuilding, formatMark, formatWindow } from './format.js';
import {
  type InPanelMark,
  kindOf,
  type Mark,
  type OpeningMark,
  parentOf,
  type Scheme,
  type WindowMark,
} from './mark.js';
import {
  parseInPanel,
  parseMark,
  parseOpening,
  parseWindow,
  readBuildingOf,
  readMark,
  readMarkIn,
} from './parse.js';
import { MarkError } from './refusal.js';
import { lightLetters, lightNumber, romanOf, romanValue } from './roman.js';

describe('the numbering convention of the Corpus Vitrearum', () => {
  // Source: examples of the Corpus Vitrearum numbering convention as summarised in print (windows
  // from the liturgical axis, panels by row and light, tracery by row letter and number); w and
  // "from inside" are in wide use, from memory. Site and dots are ours.
  it.each([
    [
      'I 1a',
      'I.1a',
      { storey: 'ground', side: 'axis', number: 1 },
      { kind: 'panel', row: 1, light: 1 },
    ],
    [
      'n2 1c',
      'nII.1c',
      { storey: 'ground', side: 'n', number: 2 },
      { kind: 'panel', row: 1, light: 3 },
    ],
    [
      'nIII 10b',
      'nIII.10b',
      { storey: 'ground', side: 'n', number: 3 },
      { kind: 'panel', row: 10, light: 2 },
    ],
    [
      'sXI 4d',
      'sXI.4d',
      { storey: 'ground', side: 's', number: 11 },
      { kind: 'panel', row: 4, light: 4 },
    ],
    [
      'NII 2a',
      'NII.2a',
      { storey: 'upper', side: 'n', number: 2 },
      { kind: 'panel', row: 2, light: 1 },
    ],
    [
      'SIV B2',
      'SIV.B2',
      { storey: 'upper', side: 's', number: 4 },
      { kind: 'tracery', row: 'B', number: 2 },
    ],
    [
      'nt2 1a',
      'ntII.1a',
      { storey: 'middle', side: 'n', number: 2 },
      { kind: 'panel', row: 1, light: 1 },
    ],
    [
      'wI A1',
      'wI.A1',
      { storey: 'ground', side: 'w', number: 1 },
      { kind: 'tracery', row: 'A', number: 1 },
    ],
    [
      'sII 3b',
      'sII.3b',
      { storey: 'ground', side: 's', number: 2 },
      { kind: 'panel', row: 3, light: 2 },
    ],
    [
      'nIV A2',
      'nIV.A2',
      { storey: 'ground', side: 'n', number: 4 },
      { kind: 'tracery', row: 'A', number: 2 },
    ],
    [
      'n3 2a',
      'nIII.2a',
      { storey: 'ground', side: 'n', number: 3 },
      { kind: 'panel', row: 2, light: 1 },
    ],
  ])('reads the printed "%s" as %s', (printed, canonical, window, opening) => {
    const mark = parseMark(`SLM.${printed.replace(' ', '.')}`, 'church');
    expect(mark).toEqual({ site: 'SLM', window: { scheme: 'church', ...window }, opening });
    expect(formatInBuilding(mark)).toBe(canonical);
  });

  it('counts a chapter house on its own', () => {
    expect(parseMark('SLM:CH.nIII.1b', 'church')).toMatchObject({ site: 'SLM', unit: 'CH' });
  });

  it('keeps upper and ground storey apart, also where case is lost', () => {
    const [ground, upper] = ['SLM.nII.2a', 'SLM.NII.2a'].map((text) => parseMark(text, 'church'));
    expect(ground).not.toEqual(upper);
    expect(fileForm(ground!)).toBe('slm.n2.2a');
    expect(fileForm(upper!)).toBe('slm.upper-n2.2a');
  });

  it('keeps panel 1a and tracery A1 apart, also where case is lost', () => {
    const files = ['SLM.I.1a', 'SLM.I.A1'].map((text) => fileForm(parseMark(text, 'church')));
    expect(files).toEqual(['slm.1.1a', 'slm.1.a1']);
  });
});

describe('a mark', () => {
  it.each([
    ['SLM', 'site', 'slm'],
    ['SLM:CH', 'unit', 'slm_ch'],
    ['SLM.sXI', 'window', 'slm.s11'],
    ['SLM.stII', 'window', 'slm.mid-s2'],
    ['SLM.wI.b', 'light', 'slm.w1.b'],
    ['SLM.wI.10aa', 'panel', 'slm.w1.10aa'],
    ['SLM:CH.nIII.A1', 'tracery', 'slm_ch.n3.a1'],
    ['SLM.sII.2b.17', 'piece', 'slm.s2.2b.17'],
    ['SLM.sII.2b.17a', 'part', 'slm.s2.2b.17a'],
    ['SLM.sII.2b.17r2', 'replacement', 'slm.s2.2b.17r2'],
    ['SLM.sII.2b.17s3', 'shard', 'slm.s2.2b.17s3'],
    ['SLM.sII.2b.17p1', 'plate', 'slm.s2.2b.17p1'],
    ['SLM.sII.2b.17r', 'part', 'slm.s2.2b.17r'],
    ['SLM.sII.2b.L12', 'lead', 'slm.s2.2b.l12'],
    ['SLM.sII.A1.J4', 'joint', 'slm.s2.a1.j4'],
    ['SLM.wI.bar-2', 'bar', 'slm.w1.bar-2'],
    ['SLM.wI.tie-5', 'tie', 'slm.w1.tie-5'],
    ['SLM.wI.b.stone-1', 'stone', 'slm.w1.b.stone-1'],
  ])('%s names a %s and has the file form %s', (text, kind, file) => {
    const mark = parseMark(text, 'church');
    expect(formatMark(mark)).toBe(text);
    expect(kindOf(mark)).toBe(kind);
    expect(fileForm(mark)).toBe(file);
    expect(parseFileForm(file, 'church')).toEqual(mark);
  });

  it('has free window names where the site says so', () => {
    const mark = parseMark('TWN.hall-2.1a.3', 'free');
    expect(mark.window).toEqual({ scheme: 'free', name: 'hall-2' });
    expect(parseMark('TWN.n2', 'free').window).toEqual({ scheme: 'free', name: 'n2' });
    expect(formatWindow(parseWindow('n2', 'church'))).toBe('nII');
  });

  it('is read after compatibility forms are folded', () => {
    expect(formatMark(parseMark(' ＳＬＭ.n\u2161.２b ', 'church'))).toBe('SLM.nII.2b');
  });

  // Each row: what is typed, which part is blamed, words of the reason.
  it.each<[string, string, string]>([
    ['SLM.nIIII', 'window', 'IV'],
    ['SLM.nVX', 'window', 'canonical'],
    ['SLM.nIC', 'window', 'canonical'],
    ['SLM.nI', 'window', 'axis'],
    ['SLM.sI', 'window', 'axis'],
    ['SLM.NI', 'window', 'axis'],
    ['SLM.n1', 'window', 'axis'],
    ['SLM.w', 'window', 'wI'],
    ['SLM.n', 'window', 'no number'],
    ['SLM.II', 'window', 'nII or sII'],
    ['SLM.n02', 'window', 'leading zeros'],
    ['SLM.nii', 'window', 'capitals'],
    ['SLM.WI', 'window', 'keeps its case'],
    ['SLM.n4000', 'window', '3999'],
    ['SLM.hall-2', 'window', 'none of'],
    ['SLM.', 'window', 'missing'],
    ['SLM..2b', 'window', 'missing'],
    ['S.nII', 'site', '2 to 8'],
    ['slm.nII', 'site', 'capitals'],
    ['SALLOWMERE.nII', 'site', '2 to 8'],
    ['SLM:.nII', 'unit', '1 to 8'],
    ['SLM:CH:X.nII', 'unit', '1 to 8'],
    ['SLM.nII.02b', 'panel', 'leading zeros'],
    ['SLM.nII.A0', 'panel', 'leading zeros'],
    ['SLM.nII.2', 'panel', 'no light'],
    ['SLM.nII.2B', 'panel', '2b'],
    ['SLM.nII.2aaa', 'panel', 'aa to zz'],
    ['SLM.nII.A', 'panel', 'A1'],
    ['SLM.nII.a1', 'panel', 'A1'],
    ['SLM.nII.', 'panel', 'missing'],
    ['SLM.nII.2b.017', 'piece', 'leading zeros'],
    ['SLM.nII.2b.17r02', 'piece', 'leading zeros'],
    ['SLM.nII.2b.17x2', 'piece', 'replacement'],
    ['SLM.nII.2b.17ab', 'piece', 'one suffix'],
    ['SLM.nII.2b.17A', 'piece', 'small letters'],
    ['SLM.nII.2b.l12', 'piece', 'L12'],
    ['SLM.nII.2b.123456', 'piece', 'five digits'],
    ['SLM.nII.2b.', 'piece', 'missing'],
    ['SLM.wI.bar-0', 'fitting', 'number from 1'],
    ['SLM.wI.bar2', 'fitting', 'bar-2'],
    ['SLM.wI.b.17', 'fitting', 'bar-2'],
    ['SLM.wI.bar-2.1', 'mark', 'nothing follows'],
    ['SLM.wI.2b.17.4', 'mark', 'nothing follows'],
    ['SLM/nII/2b', 'mark', 'dots'],
    ['SLM nII 2b', 'mark', 'no spaces'],
    ['SLM.n\u0406\u0406', 'mark', 'U+0406'],
    ['\u0405LM.nII', 'mark', 'U+0405'],
    ['', 'mark', 'empty'],
    [`SLM.${'nII.'.repeat(30)}`, 'mark', 'at most'],
  ])('is refused as %s: the %s is named', (text, part, words) => {
    const reading = readMark(text, 'church');
    expect(reading).toMatchObject({ ok: false, refusal: { part } });
    expect(reading.ok ? '' : reading.refusal.reason).toContain(words);
    expect(() => parseMark(text, 'church')).toThrow(MarkError);
  });

  it.each(['Hall-2', '2-hall', 'hall', 'h', 'hall-number-12', 'hall_2'])(
    'refuses the free window %s',
    (name) => {
      expect(readMark(`TWN.${name}`, 'free')).toMatchObject({
        ok: false,
        refusal: { part: 'window', found: name },
      });
    },
  );

  it.each([
    'SLM.n2',
    'slm.N2',
    'slm.nii',
    'slm.n02',
    'slm.upper-w1',
    'slm.mid-1',
    'slm.1.A1',
    'slm:ch',
    'slm.n4999',
    ' slm',
  ])('has no file form %s', (text) => {
    expect(() => parseFileForm(text, 'church')).toThrow(MarkError);
  });

  it('knows the place around it', () => {
    const chain: string[] = [];
    let mark: Mark | undefined = parseMark('SLM:CH.sII.2b.17s3', 'church');
    while (mark !== undefined) {
      chain.push(formatMark(mark));
      mark = parentOf(mark);
    }
    expect(chain).toEqual([
      'SLM:CH.sII.2b.17s3',
      'SLM:CH.sII.2b.17',
      'SLM:CH.sII.2b',
      'SLM:CH.sII',
      'SLM:CH',
      'SLM',
    ]);
    expect(formatMark(parentOf(parseMark('SLM.wI.b.bar-2', 'church'))!)).toBe('SLM.wI.b');
    expect(formatMark(parentOf(parseMark('SLM.wI.2b.L3', 'church'))!)).toBe('SLM.wI.2b');
  });

  it('is read from its building inwards', () => {
    expect(readMarkIn({ site: 'SLM' }, 'wI.2b', 'church')).toEqual({
      ok: true,
      value: parseMark('SLM.wI.2b', 'church'),
    });
    expect(readMarkIn({ site: 'SLM' }, '', 'church')).toEqual({ ok: true, value: { site: 'SLM' } });
    expect(readBuildingOf('SLM:CH.whatever')).toEqual({
      ok: true,
      value: { site: 'SLM', unit: 'CH' },
    });
    expect(parseOpening('2b')).toEqual({ kind: 'panel', row: 2, light: 2 });
    expect(parseInPanel('L12')).toEqual({ kind: 'lead', number: 12 });
    expect(() => parseInPanel('2b.17')).toThrow(MarkError);
  });
});

describe('the order of marks', () => {
  // Standards note, trap list: by side rank and number, never by text.
  it('goes by storey, side, number, row and column', () => {
    const walk = [
      'SLM',
      'SLM.I',
      'SLM.nII',
      'SLM.nII.a',
      'SLM.nII.1a',
      'SLM.nII.1b',
      'SLM.nII.1aa',
      'SLM.nII.2a',
      'SLM.nII.2a.2',
      'SLM.nII.2a.10',
      'SLM.nII.2a.10a',
      'SLM.nII.2a.10r2',
      'SLM.nII.2a.10s3',
      'SLM.nII.2a.10p1',
      'SLM.nII.2a.11',
      'SLM.nII.2a.L1',
      'SLM.nII.2a.J1',
      'SLM.nII.10a',
      'SLM.nII.A1',
      'SLM.nII.A10',
      'SLM.nII.B1',
      'SLM.nII.bar-2',
      'SLM.nII.tie-1',
      'SLM.nIX',
      'SLM.nX',
      'SLM.sII',
      'SLM.wI',
      'SLM.ntII',
      'SLM.NII',
      'SLM.SII',
      'SLM:CH',
      'SLM:CH.I',
    ].map((text) => parseMark(text, 'church'));
    const shuffled = [...walk].reverse().sort(compareMarks);
    expect(shuffled.map(formatMark)).toEqual(walk.map(formatMark));
  });

  it('puts hall-2 before hall-10', () => {
    expect(compareNatural('hall-2', 'hall-10')).toBeLessThan(0);
  });
});

describe.each<Scheme>(['church', 'free'])('marks of the %s scheme', (scheme) => {
  const marks = anyMark(scheme);

  it('read back as they are written', () => {
    fc.assert(
      fc.property(marks, (mark) => {
        expect(parseMark(formatMark(mark), scheme)).toEqual(mark);
      }),
    );
  });

  it('have a file form that reads back and ignores case', () => {
    fc.assert(
      fc.property(marks, (mark) => {
        const file = fileForm(mark);
        expect(file).toBe(file.toLowerCase());
        expect(file).toMatch(/^[a-z0-9._-]+$/);
        expect(parseFileForm(file, scheme)).toEqual(mark);
      }),
    );
  });

  it('share a file form only when they are equal', () => {
    fc.assert(
      fc.property(marks, marks, (a, b) => {
        expect(fileForm(a) === fileForm(b)).toBe(formatMark(a) === formatMark(b));
      }),
    );
  });

  it('are put in one total order, parents first', () => {
    fc.assert(
      fc.property(marks, marks, marks, (a, b, c) => {
        expect(Math.sign(compareMarks(a, b))).toBe(-Math.sign(compareMarks(b, a)) + 0);
        expect(compareMarks(a, b) === 0).toBe(formatMark(a) === formatMark(b));
        const [x, , z] = [a, b, c].sort(compareMarks);
        expect(compareMarks(x!, z!)).toBeLessThanOrEqual(0);
        const parent = parentOf(a);
        if (parent !== undefined) expect(compareMarks(parent, a)).toBeLessThan(0);
      }),
    );
  });

  it('never throw anything but a refusal', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...'SLMnstwIVX.:-0129abrsLJ'.split('')) }),
        (text) => {
          const reading = readMark(text, scheme);
          if (reading.ok) expect(readMark(formatMark(reading.value), scheme)).toEqual(reading);
          else expect(reading.refusal.reason).not.toBe('');
        },
      ),
      { numRuns: 2000 },
    );
  });
});

describe('numerals and letters', () => {
  it('has one numeral for each number', () => {
    for (let n = 1; n <= 3999; n++) expect(romanValue(romanOf(n))).toBe(n);
  });

  // Common knowledge of the numerals; no source.
  it.each([
    [4, 'IV'],
    [9, 'IX'],
    [14, 'XIV'],
    [40, 'XL'],
    [99, 'XCIX'],
    [1994, 'MCMXCIV'],
  ])('writes %i as %s', (n, text) => {
    expect(romanOf(n)).toBe(text);
  });

  it.each(['', 'IIII', 'VV', 'VX', 'IC', 'IVI', 'IXI', 'MMMM', 'ii', 'IIV'])(
    'does not read %p',
    (text) => {
      expect(romanValue(text)).toBeUndefined();
    },
  );

  it.each([
    [1, 'a'],
    [9, 'i'],
    [12, 'l'],
    [26, 'z'],
    [27, 'aa'],
    [52, 'az'],
    [53, 'ba'],
    [702, 'zz'],
  ])('light %i is %s', (n, letters) => {
    expect(lightLetters(n)).toBe(letters);
    expect(lightNumber(letters)).toBe(n);
  });
});

describe('an alias', () => {
  it('is found whatever the separators and case', () => {
    expect(aliasKey('Baie 103, A2')).toBe(aliasKey('baie  103/a2'));
    expect(aliasKey('Baie 103')).not.toBe(aliasKey('Baie 10 3'));
  });
});

function anyMark(scheme: Scheme): fc.Arbitrary<Mark> {
  const code = (min: number) =>
    fc.string({ unit: fc.constantFrom(...'ABCHLMS0129'.split('')), minLength: min, maxLength: 8 });
  const number = fc.integer({ min: 1, max: 99_999 });
  const letter = fc.constantFrom(...'abcdefghijklmnopqrstuvwxyz'.split(''));
  const light = fc.integer({ min: 1, max: 702 });
  const church: fc.Arbitrary<WindowMark> = fc.oneof(
    fc.constant({
      scheme: 'church' as const,
      storey: 'ground' as const,
      side: 'axis' as const,
      number: 1,
    }),
    fc.record({
      scheme: fc.constant('church' as const),
      storey: fc.constantFrom('ground' as const, 'middle' as const, 'upper' as const),
      side: fc.constantFrom('n' as const, 's' as const),
      number: fc.integer({ min: 2, max: 3999 }),
    }),
    fc.record({
      scheme: fc.constant('church' as const),
      storey: fc.constant('ground' as const),
      side: fc.constant('w' as const),
      number: fc.integer({ min: 1, max: 3999 }),
    }),
  );
  const free: fc.Arbitrary<WindowMark> = fc.record({
    scheme: fc.constant('free' as const),
    name: fc.stringMatching(/^[a-z][a-z0-9-]{0,10}[0-9]$/),
  });
  const opening: fc.Arbitrary<OpeningMark> = fc.oneof(
    fc.record({ kind: fc.constant('panel' as const), row: number, light }),
    fc.record({
      kind: fc.constant('tracery' as const),
      row: fc.constantFrom(...'ABCXYZ'.split('')),
      number,
    }),
  );
  const inPanel: fc.Arbitrary<InPanelMark> = fc.oneof(
    fc.record({ kind: fc.constant('piece' as const), number }),
    fc.record({ kind: fc.constant('part' as const), number, letter }),
    fc.record({
      kind: fc.constantFrom('replacement' as const, 'shard' as const, 'plate' as const),
      number,
      index: number,
    }),
    fc.record({ kind: fc.constantFrom('lead' as const, 'joint' as const), number }),
  );
  const fitting = fc.record({
    kind: fc.constantFrom('bar' as const, 'tie' as const, 'stone' as const),
    number,
  });
  const building = fc.record({ site: code(2), unit: code(1) }, { requiredKeys: ['site'] });
  const window = scheme === 'church' ? church : free;
  const inWindow = fc.oneof(
    fc.constant({}),
    fc.record({ light }),
    fc.record({ light, fitting }),
    fc.record({ fitting }),
    fc.record({ opening }),
    fc.record({ opening, inPanel }),
  );
  return fc.oneof(
    { weight: 1, arbitrary: building },
    {
      weight: 5,
      arbitrary: fc
        .tuple(building, window, inWindow)
        .map(([b, w, rest]) => ({ ...b, window: w, ...rest })),
    },
  );
}
