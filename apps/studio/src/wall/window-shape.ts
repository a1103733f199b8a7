/** A window's drawing → rings and lines in its own frame, mm, through libs/elevation. */
import {
  openingRingMm,
  openingSizeMm,
  type PanelPlace,
  panelGrid,
  type WindowDrawing,
} from '#libs/elevation';
import type { Xy } from '../drawing/plane.js';

export interface WindowShape {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly openingMm: readonly Xy[];
  readonly lights: readonly {
    readonly letter: string;
    readonly ringMm: readonly Xy[];
    readonly xMm: number;
    readonly widthMm: number;
    readonly bottomMm: number;
    readonly letters: readonly { readonly letter: string; readonly xMm: number }[];
  }[];
  readonly tracery: readonly { readonly mark: string; readonly ringMm: readonly Xy[] }[];
  readonly bars: readonly { readonly mark: string; readonly lineMm: readonly Xy[] }[];
  readonly places: readonly PanelPlace[];
  /** row numbers beside the first light: row, height of its middle */
  readonly rows: readonly { readonly row: number; readonly yMm: number }[];
}

/** @throws ElevationError when the drawing cannot be built */
export function windowShape(drawing: WindowDrawing): WindowShape {
  const { widthMm, heightMm } = openingSizeMm(drawing.opening);
  const moved = (part: { xMm: number; yMm: number; opening: WindowDrawing['opening'] }) =>
    openingRingMm(part.opening, { chordErrorMm: 2 }).map(
      ([x, y]): Xy => [x + part.xMm, y + part.yMm],
    );
  const places = panelGrid(drawing);
  const firstColumn = drawing.lights[0]?.columns?.[0]?.letter ?? drawing.lights[0]?.letter;
  return {
    widthMm,
    heightMm,
    openingMm: openingRingMm(drawing.opening, { chordErrorMm: 2 }),
    lights: drawing.lights.map((light) => {
      const size = openingSizeMm(light.opening);
      let x = light.xMm;
      const letters = (light.columns ?? [{ letter: light.letter, widthMm: size.widthMm }]).map(
        (column) => {
          const middle = { letter: column.letter, xMm: x + column.widthMm / 2 };
          x += column.widthMm;
          return middle;
        },
      );
      return {
        letter: light.letter,
        ringMm: moved(light),
        xMm: light.xMm,
        widthMm: size.widthMm,
        bottomMm: light.yMm + size.heightMm,
        letters,
      };
    }),
    tracery: drawing.tracery.map((part) => ({ mark: part.mark, ringMm: moved(part) })),
    bars: drawing.bars.map((bar) => ({
      mark: bar.mark,
      lineMm: [
        [bar.fromXMm, bar.yMm],
        [bar.toXMm, bar.yMm],
      ],
    })),
    places,
    rows: places
      .filter((place) => place.row !== null && place.column === firstColumn)
      .map((place) => ({
        row: place.row!,
        yMm: (place.boundsMm.minY + place.boundsMm.maxY) / 2,
      })),
  };
}

/**
 * Reads a stored drawing, which the archive checked when it took it; undefined when it is none that
 * this program can draw.
 */
export function shapeOf(drawing: unknown): WindowShape | undefined {
  try {
    return windowShape(drawing as WindowDrawing);
  } catch {
    return undefined;
  }
}
