/** A window's drawing → path data in its own frame, through libs/elevation. */
import {
  openingRingMm,
  openingSizeMm,
  type PanelPlace,
  panelGrid,
  type WindowDrawing,
  windowDrawingSchema,
} from '#libs/elevation';
import type { Xy } from '../drawing/plane.js';

export interface WindowShape {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly opening: string;
  readonly lights: readonly {
    readonly letter: string;
    readonly d: string;
    readonly xMm: number;
    readonly widthMm: number;
    readonly bottomMm: number;
    readonly letters: readonly { readonly letter: string; readonly xMm: number }[];
  }[];
  readonly tracery: readonly { readonly mark: string; readonly d: string }[];
  readonly bars: readonly { readonly mark: string; readonly d: string }[];
  readonly places: readonly PanelPlace[];
  /** row numbers beside the first light: row, height of its middle */
  readonly rows: readonly { readonly row: number; readonly yMm: number }[];
}

export function pathData(ring: readonly Xy[]): string {
  return ring.length === 0 ? '' : `M${ring.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}Z`;
}

const round = (value: number) => Math.round(value * 10) / 10;

/** @throws ElevationError when the drawing cannot be built */
export function windowShape(drawing: WindowDrawing): WindowShape {
  const { widthMm, heightMm } = openingSizeMm(drawing.opening);
  const moved = (part: { xMm: number; yMm: number; opening: WindowDrawing['opening'] }) =>
    pathData(
      openingRingMm(part.opening, { chordErrorMm: 2 }).map(([x, y]) => [
        x + part.xMm,
        y + part.yMm,
      ]),
    );
  const places = panelGrid(drawing);
  const firstColumn = drawing.lights[0]?.columns?.[0]?.letter ?? drawing.lights[0]?.letter;
  return {
    widthMm,
    heightMm,
    opening: pathData(openingRingMm(drawing.opening, { chordErrorMm: 2 })),
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
        d: moved(light),
        xMm: light.xMm,
        widthMm: size.widthMm,
        bottomMm: light.yMm + size.heightMm,
        letters,
      };
    }),
    tracery: drawing.tracery.map((part) => ({ mark: part.mark, d: moved(part) })),
    bars: drawing.bars.map((bar) => ({
      mark: bar.mark,
      d: `M${bar.fromXMm} ${bar.yMm}H${bar.toXMm}`,
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

/** Reads a stored drawing; undefined when it is none that this program can draw. */
export function shapeOf(drawing: unknown): WindowShape | undefined {
  const read = windowDrawingSchema.safeParse(drawing);
  if (!read.success) return undefined;
  try {
    return windowShape(read.data);
  } catch {
    return undefined;
  }
}
