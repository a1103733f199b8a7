import { CAUTIONS, type Caution, cautionsFor, cautionText, DEFERRAL } from './cautions.js';
import { OKABE_ITO } from './colours.js';
import { type ConditionClass, checkConditionClass, summaryClass } from './condition.js';
import { AREA_HATCHES, LINE_STROKES, POINT_SHAPES } from './hatches.js';
import { areaPatternSvg, findingSvg, legendSvg, lineMarks } from './legend-svg.js';
import { OPERATIONS } from './operations.js';
import { FINDING_TERMS, findingTerm } from './terms.js';
import { VocabularyError } from './vocabulary-error.js';

describe('finding terms', () => {
  // The keys of the reference vocabulary, section 3 (22 glass, 8 paint, 12 lead, 12 support, 12 repair).
  it('hold every group in full', () => {
    const count = (group: string) => FINDING_TERMS.filter((term) => term.group === group).length;
    expect(['glass', 'paint', 'lead', 'support', 'repair'].map(count)).toEqual([22, 8, 12, 12, 12]);
  });

  it('have each key and each shortcut once', () => {
    expect(new Set(FINDING_TERMS.map((term) => term.key)).size).toBe(FINDING_TERMS.length);
    const shortcuts = FINDING_TERMS.map((term) => term.shortcut);
    expect(new Set(shortcuts).size).toBe(shortcuts.length);
    expect(shortcuts.every((keys) => /^[gplsr][a-z]$/.test(keys))).toBe(true);
  });

  it.each(FINDING_TERMS.map((term) => [term.key, term] as const))(
    '%s has a sign for each way it is drawn and a definition',
    (_, { geometries, sign, definition, label, quantities }) => {
      for (const kind of geometries) expect(sign[kind]).toBeDefined();
      expect(definition.length).toBeGreaterThan(12);
      expect(label.length).toBeLessThanOrEqual(20);
      expect(quantities.length).toBeGreaterThan(0);
    },
  );

  it('can be told apart in black and white: no two share a hatch, stroke or shape', () => {
    for (const kind of ['area', 'line', 'point'] as const) {
      const signs = FINDING_TERMS.flatMap((term) => term.sign[kind] ?? []);
      expect(signs.filter((sign, i) => signs.indexOf(sign) !== i)).toEqual([]);
    }
  });

  it('are drawn with hatches that differ as geometry, not in name only', () => {
    for (const registry of [AREA_HATCHES, LINE_STROKES, POINT_SHAPES]) {
      const shapes = Object.values(registry).map((shape) => JSON.stringify(shape));
      expect(new Set(shapes).size).toBe(shapes.length);
    }
  });

  it('keep earlier repairs neutral', () => {
    expect(findingTerm('rep.epoxy')!.isNeutral).toBe(true);
    expect(findingTerm('glass.crack.simple')!.isNeutral).toBe(false);
    expect(findingTerm('glass.crack.odd')).toBeUndefined();
  });

  // Source: Getty AAT, seen in a linked-art example; the other ids were not verified and stay empty.
  it('name the one thesaurus concept that was verified', () => {
    expect(FINDING_TERMS.filter((term) => term.aatId !== null).map((term) => term.aatId)).toEqual([
      '300387447',
    ]);
  });
});

// Source: Okabe and Ito 2008, red, green and blue of the eight colours (from memory).
it('uses the published colour-blind safe palette', () => {
  const rgb = (hex: string) => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));
  expect(Object.values(OKABE_ITO).map(rgb)).toEqual([
    [0, 0, 0],
    [230, 159, 0],
    [86, 180, 233],
    [0, 158, 115],
    [240, 228, 66],
    [0, 114, 178],
    [213, 94, 0],
    [204, 121, 167],
  ]);
});

describe('operations', () => {
  it('have each key once, a hint, and cautions that exist', () => {
    expect(new Set(OPERATIONS.map((one) => one.key)).size).toBe(OPERATIONS.length);
    for (const { cautions, reversibilityHint } of OPERATIONS) {
      expect(cautionsFor(cautions)).toHaveLength(cautions.length);
      expect(reversibilityHint).not.toBe('');
    }
  });

  it('warn of lead, acid, heat and loose paint where they are met', () => {
    const keys = (key: string) => OPERATIONS.find((one) => one.key === key)!.cautions;
    expect(keys('relead.whole')).toContain('lead-dust');
    expect(keys('etch')).toContain('hydrofluoric-acid');
    expect(keys('repaint.original')).toContain('firing-originals');
    expect(keys('examine.rubbing')).toContain('loose-paint');
    expect(keys('clean.putty')).toContain('asbestos-putty');
  });

  it('ask for a stated reason before an original is fired', () => {
    expect(OPERATIONS.find((one) => one.key === 'repaint.original')!.needsStatedReason).toBe(true);
  });
});

describe('cautions', () => {
  const lead = CAUTIONS.find((one) => one.key === 'lead-dust')!;

  // Source of the figures: 29 CFR 1910.1025; Directive (EU) 2024/869 (reference, section 8.1, marked
  // as published and checked).
  it('print the figure of the jurisdiction chosen, with its source, and no other', () => {
    const us = cautionText(lead, 'US', '2026-11-25');
    expect(us).toMatch(/30 µg\/m³.*50 µg\/m³.*29 CFR 1910\.1025.*checked 2026-11/s);
    expect(us).not.toMatch(/0\.03/);
    expect(cautionText(lead, 'EU', '2026-11-25')).toMatch(/0\.03 mg\/m³.*2024\/869/s);
  });

  it('print no figure when no jurisdiction is chosen', () => {
    expect(cautionText(lead, null, '2026-11-25')).toBe(lead.text);
  });

  it('drop a figure after the day it was known to hold', () => {
    const adhesives = CAUTIONS.find((one) => one.key === 'adhesives')!;
    expect(cautionText(adhesives, 'EU', '2028-12-31')).toMatch(/10 µg/);
    expect(cautionText(adhesives, 'EU', '2029-01-01')).toBe(adhesives.text);
  });

  it('never carry a figure without a source, or numbers of law in the words', () => {
    const figures = CAUTIONS.flatMap((one: Caution) => one.figures);
    expect(figures.every((figure) => figure.source.length > 5)).toBe(true);
    expect(CAUTIONS.filter((one) => /\d+\s*(µg|mg|ppm|f\/cc)/.test(one.text))).toEqual([]);
  });

  it('defer to law, the safety sheet and licensed people', () => {
    expect(DEFERRAL).toMatch(/law where you work.*safety data sheet.*licensed/);
  });
});

describe('condition classes', () => {
  const given = { observer: 'Surveyor', happened: '2026-03-04', observations: 1 };

  it.each<[string, (ConditionClass | null)[], ConditionClass | null]>([
    ['the worst of the parts, not the mean', [0, 1, 3], 3],
    ['nothing when nothing was said', [null, null], null],
    ['not 0 because one part was seen', [0, 'not-inspected'], 'not-inspected'],
    ['a fault found stands beside parts not reached', [2, 'not-accessible'], 2],
    ['not accessible before not inspected', ['not-inspected', 'not-accessible'], 'not-accessible'],
    ['sound when all were seen and sound', [0, 0], 0],
  ])('give %s', (_, parts, expected) => {
    expect(summaryClass(parts)).toBe(expected);
  });

  it.each([
    ['without an observer', { ...given, conditionClass: 2 as const, observer: null }, /who looked/],
    ['without a date', { ...given, conditionClass: 2 as const, happened: null }, /when/],
    [
      'without an observation',
      { ...given, conditionClass: 0 as const, observations: 0 },
      /observation/,
    ],
    ['of 4', { ...given, conditionClass: 4 as ConditionClass }, /0, 1, 2 or 3/],
  ])('refuse a class %s', (_, value, message) => {
    expect(() => {
      checkConditionClass(value);
    }).toThrow(message);
    expect(() => {
      checkConditionClass(value);
    }).toThrow(VocabularyError);
  });

  it('let "not inspected" stand alone', () => {
    expect(() => {
      checkConditionClass({ ...given, conditionClass: 'not-inspected', observer: null });
    }).not.toThrow();
  });
});

describe('signs as SVG', () => {
  const pits = findingTerm('glass.pit')!;

  it('fill an area with the pattern of its term', () => {
    expect(areaPatternSvg(pits)).toMatch(/^<pattern id="hatch-glass\.pit" .*<\/pattern>$/);
    expect(
      findingSvg(pits, 'area', [
        [0, 0],
        [5, 0],
        [5, 5],
      ]),
    ).toContain('url(#hatch-glass.pit)');
    expect(areaPatternSvg(findingTerm('lead.break')!)).toBe('');
  });

  it('set marks along a line at their distance, turned with it', () => {
    const marks = lineMarks(LINE_STROKES.ticks, [
      [0, 0],
      [0, 30],
    ]);
    expect(marks).toHaveLength(10);
    // The line runs down: its ticks lie across, left to right.
    for (const [[ax, ay], [bx, by]] of marks as [[number, number], [number, number]][]) {
      expect(Math.abs(ay - by)).toBeLessThan(1e-9);
      expect(Math.abs(ax - bx)).toBeCloseTo(2, 9);
    }
  });

  it('make a legend with every term named', () => {
    const svg = legendSvg(FINDING_TERMS, { columns: 3, title: 'Signs' });
    for (const term of FINDING_TERMS) expect(svg).toContain(`>${term.label}<`);
    expect(svg.match(/<pattern /g)).toHaveLength(
      FINDING_TERMS.filter((term) => term.sign.area !== undefined).length,
    );
  });
});
