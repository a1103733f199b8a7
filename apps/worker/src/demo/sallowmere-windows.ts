/**
 * Sallowmere Chapel (SLM), the invented ferrymen's chapel of the demo: its windows, in mm, seen from inside.
 * wI is the big one: four lights one panel wide, 28 rows, 38 tracery panels, 150 panels in all, 15.2 m tall.
 */
import type { WindowDrawing } from '#libs/elevation';

type Opening = WindowDrawing['opening'];
type Light = WindowDrawing['lights'][number];
type ShapeOf<K extends Opening['kind']> = Extract<Opening, { kind: K }>;
type TallOpening = ShapeOf<'pointed' | 'round-headed'>;

export interface DemoWindow {
  readonly mark: string;
  readonly title: string;
  readonly drawing: WindowDrawing;
}

const MULLION_MM = 140;

/** Two arcs that spring at `springMm` and meet at `heightMm`, the same on both sides. */
function pointed(widthMm: number, springMm: number, heightMm: number): ShapeOf<'pointed'> {
  const riseMm = heightMm - springMm;
  // Circle through the springing and the apex, centre on the springing line.
  const radiusMm = ((widthMm / 2) ** 2 + riseMm ** 2) / widthMm;
  return {
    kind: 'pointed',
    widthMm,
    heightMm,
    springMm,
    leftCentreXMm: radiusMm,
    rightCentreXMm: widthMm - radiusMm,
  };
}

/** A pointed oval, as in reticulated tracery: two arcs that meet above and below. */
function pointedOval(widthMm: number, heightMm: number): Opening {
  const a = widthMm / 2;
  const b = heightMm / 2;
  const radiusMm = (a * a + b * b) / (2 * a);
  const half = Math.asin(b / radiusMm);
  const steps = 16;
  const side = (sign: 1 | -1) =>
    Array.from({ length: steps }, (_, i): [number, number] => {
      const t = sign * half * (2 * (i / steps) - 1);
      const x = a + sign * (radiusMm * Math.cos(t) - (radiusMm - a));
      return [round(x), round(b + radiusMm * Math.sin(t))];
    });
  return { kind: 'polygon', ringMm: [...side(1), ...side(-1)] };
}

const round = (mm: number): number => Math.round(mm * 10) / 10;

/** Lights side by side, their sills on the window's sill, `topMm` the height of the window. */
function lightsInARow(
  letters: readonly string[],
  widthMm: number,
  light: TallOpening,
  windowHeightMm: number,
  rowHeightsMm: number[],
): Light[] {
  return letters.map((letter, i) => ({
    letter,
    xMm: i * (widthMm + MULLION_MM),
    yMm: windowHeightMm - light.heightMm,
    opening: light,
    rowHeightsMm,
  }));
}

function westWindow(): DemoWindow {
  const lightMm = 750;
  const widthMm = 4 * lightMm + 3 * MULLION_MM;
  const heightMm = 15_200;
  const light = pointed(lightMm, 11_610, 12_230);
  const rows = [...Array.from({ length: 27 }, () => 430), 620];
  const oval = { widthMm: 300, heightMm: 420 };
  const tracery = [9, 8, 7, 6, 5, 2, 1].flatMap((openings, row) =>
    Array.from({ length: openings }, (_, i) => ({
      mark: `${String.fromCharCode(65 + row)}${i + 1}`,
      xMm: round(widthMm / 2 + (i - (openings - 1) / 2) * 360 - oval.widthMm / 2),
      yMm: round(heightMm - 12_560 - row * 340 - oval.heightMm / 2),
      opening: pointedOval(oval.widthMm, oval.heightMm),
    })),
  );
  const bars = Array.from({ length: 13 }, (_, i) => ({
    mark: `bar-${i + 1}`,
    yMm: heightMm - (i + 1) * 860,
    fromXMm: 0,
    toXMm: widthMm,
  }));
  return {
    mark: 'wI',
    title: 'The crossing of the river',
    drawing: {
      opening: pointed(widthMm, 11_900, heightMm),
      lights: lightsInARow(['a', 'b', 'c', 'd'], lightMm, light, heightMm, rows),
      tracery,
      bars,
    },
  };
}

/** The populated window: each panel has a rubbing in fixtures/demo, named after its mark. */
function southWindow(): DemoWindow {
  const lightMm = 366;
  const widthMm = 2 * lightMm + MULLION_MM;
  const heightMm = 1_960;
  const light = pointed(lightMm, 1_141, 1_458);
  return {
    mark: 'sII',
    title: 'The keeper of the ferry',
    drawing: {
      opening: pointed(widthMm, 1_141, heightMm),
      lights: lightsInARow(['a', 'b'], lightMm, light, heightMm, [476, 456, 526]),
      tracery: [
        {
          mark: 'A1',
          xMm: widthMm / 2 - 193,
          yMm: heightMm - 1_810,
          opening: { kind: 'circular', diameterMm: 386 },
        },
      ],
      bars: [476, 932].map((above, i) => ({
        mark: `bar-${i + 1}`,
        yMm: heightMm - above,
        fromXMm: 0,
        toXMm: widthMm,
      })),
    },
  };
}

function northWindow(): DemoWindow {
  const lightMm = 366;
  const widthMm = 2 * lightMm + MULLION_MM;
  const light: TallOpening = {
    kind: 'round-headed',
    widthMm: lightMm,
    heightMm: 1_600,
  };
  return {
    mark: 'nII',
    title: 'Reeds and water, plain quarries',
    drawing: {
      opening: { kind: 'rectangular', widthMm, heightMm: 1_600 },
      lights: lightsInARow(['a', 'b'], lightMm, light, 1_600, [540, 540, 520]),
      tracery: [],
      bars: [540, 1_080].map((above, i) => ({
        mark: `bar-${i + 1}`,
        yMm: 1_600 - above,
        fromXMm: 0,
        toXMm: widthMm,
      })),
    },
  };
}

function eastWindow(): DemoWindow {
  const lightMm = 520;
  const widthMm = 3 * lightMm + 2 * MULLION_MM;
  const heightMm = 4_300;
  const light = pointed(lightMm, 2_700, 3_150);
  const rows = [540, 540, 540, 540, 540, 450];
  return {
    mark: 'I',
    title: 'The lantern on the landing',
    drawing: {
      opening: pointed(widthMm, 2_750, heightMm),
      lights: lightsInARow(['a', 'b', 'c'], lightMm, light, heightMm, rows),
      tracery: [
        [-330, 3_330],
        [330, 3_330],
        [0, 3_720],
      ].map(([dx, above], i) => ({
        mark: i < 2 ? `A${i + 1}` : 'B1',
        xMm: widthMm / 2 + dx! - 190,
        yMm: heightMm - above! - 190,
        opening: { kind: 'circular' as const, diameterMm: 380 },
      })),
      bars: Array.from({ length: 5 }, (_, i) => ({
        mark: `bar-${i + 1}`,
        yMm: heightMm - (i + 1) * 540,
        fromXMm: 0,
        toXMm: widthMm,
      })),
    },
  };
}

export const SALLOWMERE_WINDOWS: readonly DemoWindow[] = [
  eastWindow(),
  northWindow(),
  southWindow(),
  westWindow(),
];
