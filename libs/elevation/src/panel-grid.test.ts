import { ringAreaMm2 } from '#libs/net';
import { ElevationError } from './elevation-error.js';
import { openingAreaMm2 } from './opening.js';
import { panelGrid } from './panel-grid.js';
import { type WindowDrawing, windowDrawingSchema } from './window-drawing.js';

const light = (letter: string, xMm: number): WindowDrawing['lights'][number] => ({
  letter,
  xMm,
  yMm: 500,
  opening: { kind: 'round-headed', widthMm: 600, heightMm: 2500 },
  rowHeightsMm: [600, 600, 600, 700],
});

const drawing: WindowDrawing = {
  opening: { kind: 'rectangular', widthMm: 1300, heightMm: 3000 },
  lights: [light('b', 700), light('a', 0)],
  tracery: [{ mark: 'A1', xMm: 450, yMm: 50, opening: { kind: 'circular', diameterMm: 400 } }],
  bars: [{ mark: 'bar-1', yMm: 2400, fromXMm: 0, toXMm: 1300 }],
};

describe('panelGrid', () => {
  const panels = panelGrid(windowDrawingSchema.parse(drawing));

  // Rows from the bottom in Arabic numbers, lights from the left in letters, tracery A1: the
  // numbering convention, standards rules N9 and N10.
  it('marks rows from the bottom and lights from the left', () => {
    expect(panels.map((panel) => panel.mark)).toEqual([
      '1a',
      '1b',
      '2a',
      '2b',
      '3a',
      '3b',
      '4a',
      '4b',
      'A1',
    ]);
    expect(panels[0]!.boundsMm).toEqual({ minX: 0, minY: 2400, maxX: 600, maxY: 3000 });
    expect(panels[1]!.boundsMm.minX).toBe(700);
  });

  it('clips the head to the arch: the panels of a light add up to its opening', () => {
    const sum = panels
      .filter((panel) => panel.column === 'a')
      .reduce((total, panel) => total + ringAreaMm2(panel.ringMm), 0);
    const lost = openingAreaMm2(light('a', 0).opening) - sum;
    // Chords of the arch: 0.1 mm at most along a half circle of 942 mm.
    expect(lost).toBeGreaterThan(0);
    expect(lost).toBeLessThan(95);
  });

  it('gives each column of a wide light its own letter', () => {
    const wide = panelGrid({
      ...drawing,
      lights: [
        {
          letter: 'a',
          xMm: 0,
          yMm: 500,
          opening: { kind: 'rectangular', widthMm: 1200, heightMm: 1200 },
          columns: [
            { letter: 'a', widthMm: 500 },
            { letter: 'b', widthMm: 700 },
          ],
          rowHeightsMm: [600, 600],
        },
      ],
      tracery: [],
    });
    expect(wide.map((panel) => panel.mark)).toEqual(['1a', '1b', '2a', '2b']);
    expect(wide[1]!.boundsMm).toEqual({ minX: 500, minY: 1100, maxX: 1200, maxY: 1700 });
  });

  it.each<{ what: string; change: Partial<WindowDrawing>; fault: string }>([
    {
      what: 'one letter twice',
      change: { lights: [light('a', 0), light('a', 650)] },
      fault: 'double-mark',
    },
    {
      what: 'rows that do not fill the light',
      change: { lights: [{ ...light('a', 0), rowHeightsMm: [600, 600] }] },
      fault: 'bad-size',
    },
    {
      what: 'a light beside the window',
      change: { lights: [light('a', 1000)] },
      fault: 'outside-opening',
    },
    {
      what: 'a bar without length',
      change: { bars: [{ mark: 'bar-1', yMm: 0, fromXMm: 10, toXMm: 10 }] },
      fault: 'bad-size',
    },
  ])('refuses $what', ({ change, fault }) => {
    let seen: unknown;
    try {
      panelGrid({ ...drawing, ...change });
    } catch (error) {
      seen = error;
    }
    expect(seen).toBeInstanceOf(ElevationError);
    expect(seen).toMatchObject({ fault });
  });

  it.each([
    { ...drawing, tracery: [{ ...drawing.tracery[0], mark: 'a1' }] },
    { ...drawing, opening: { kind: 'hexagonal', widthMm: 3 } },
    { ...drawing, lights: [{ ...light('a', 0), rowHeightsMm: [] }] },
  ])('does not parse a malformed drawing', (bad) => {
    expect(windowDrawingSchema.safeParse(bad).success).toBe(false);
  });
});
