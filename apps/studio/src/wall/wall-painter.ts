/**
 * Paints the wall in a canvas: openings and panels under the glass, stone and names over it. The outlines
 * are traced once; a frame only fills and strokes them anew, a few calls whatever the number of panels.
 */
import type { NamedOutline } from '#libs/elevation';
import type { Xy } from '../drawing/plane.js';
import { type Hatch, hatchFill } from './hatches.js';
import {
  glassShown,
  glassTones,
  type LineInk,
  leadColour,
  openingInk,
  sillOf,
  toneOf,
  WallInk,
  type WallLook,
  type WallWord,
  type WordInk,
  wordsOf,
} from './wall-ink.js';
import type { HungRow, HungWindow } from './wall-layout.js';
import type { WallView } from './wall-view.js';

type Rings = readonly (readonly Xy[])[];

interface Traced {
  readonly hung: HungWindow;
  readonly opening: Path2D;
  readonly panels: Path2D;
  /** lights and tracery */
  readonly stone: Path2D;
  readonly bars: Path2D;
  /** panels by what they are filled with */
  fills: ReadonlyMap<CanvasPattern | string, Path2D>;
}

export class WallPainter {
  #ink = new WallInk();
  #sills: readonly Path2D[] = [];
  #windows: readonly Traced[] = [];
  #words: readonly (readonly [Xy, WallWord])[] = [];
  #layout: WordLayout | null = null;

  stand(rows: readonly HungRow[]): void {
    this.#sills = rows.map((row) => traced([sillOf(row)], false));
    this.#words = rows.flatMap(wordsOf);
    this.#layout = null;
    this.#windows = rows.flatMap(({ windows }) =>
      windows.map((hung) => {
        const { openingMm, places, lights, tracery, bars } = hung.shape;
        return {
          hung,
          opening: traced([openingMm]),
          panels: traced(places.map(({ ringMm }) => ringMm)),
          stone: traced([...lights, ...tracery].map(({ ringMm }) => ringMm)),
          bars: traced(
            bars.map(({ lineMm }) => lineMm),
            false,
          ),
          fills: this.#fillsOf(hung),
        };
      }),
    );
  }

  setLook(look: WallLook): void {
    this.#ink = new WallInk(look);
    this.#layout = null;
    for (const window of this.#windows) window.fills = this.#fillsOf(window.hung);
  }

  /** @param ratio px of the canvas a px of the screen */
  paintGround(context: CanvasRenderingContext2D, view: WallView, ratio: number): void {
    const brush = new Brush(context, view, ratio);
    const { sill, fill, edge } = openingInk();
    brush.at(0, 0);
    for (const path of this.#sills) brush.stroke(path, sill);
    for (const { hung, opening, panels, fills } of this.#seen(view)) {
      brush.at(hung.xMm, hung.yMm);
      brush.fill(opening, fill);
      brush.stroke(opening, edge);
      for (const [style, path] of fills) brush.fill(path, style);
      brush.stroke(panels, this.#ink.panelLine(1 / view.k));
    }
  }

  paintAbove(context: CanvasRenderingContext2D, view: WallView, ratio: number): void {
    const brush = new Brush(context, view, ratio);
    const resolution = 1 / view.k;
    for (const { hung, stone, bars } of this.#seen(view)) {
      brush.at(hung.xMm, hung.yMm);
      brush.stroke(stone, this.#ink.stone(hung.windowId, false, resolution));
      brush.stroke(bars, this.#ink.stone(hung.windowId, true, resolution));
    }
    this.#paintWords(context, view, ratio);
  }

  /**
   * Lead and glass as far as they show at this size: for a look before there is WebGL.
   * @param said hatches of pieces of which something is said, by panel and piece
   * @returns how many pieces were painted
   */
  paintGlass(
    context: CanvasRenderingContext2D,
    view: WallView,
    ratio: number,
    outlines: ReadonlyMap<string, readonly NamedOutline[]>,
    said: ReadonlyMap<string, ReadonlyMap<string, Hatch>>,
  ): number {
    const brush = new Brush(context, view, ratio);
    let pieces = 0;
    for (const { hung } of this.#seen(view)) {
      brush.at(hung.xMm, hung.yMm);
      pieces += paintPieces(
        brush,
        outlines.get(hung.windowId) ?? [],
        said.get(hung.windowId),
        1 / view.k,
      );
    }
    return pieces;
  }

  #seen({ k, tx, ty, width, height }: WallView): readonly Traced[] {
    return this.#windows.filter(({ hung: { shape, xMm, yMm } }) => {
      const [left, top] = [xMm * k + tx, yMm * k + ty];
      return (
        left < width && top < height && left + shape.widthMm * k > 0 && top + shape.heightMm * k > 0
      );
    });
  }

  #fillsOf({ windowId, shape }: HungWindow): ReadonlyMap<CanvasPattern | string, Path2D> {
    const rings = new Map<CanvasPattern | string, (readonly Xy[])[]>();
    for (const place of shape.places) {
      const fill = this.#ink.panelFill(windowId, place);
      const alike = rings.get(fill);
      if (alike) alike.push(place.ringMm);
      else rings.set(fill, [place.ringMm]);
    }
    return new Map([...rings].map(([fill, alike]) => [fill, traced(alike)]));
  }

  #paintWords(context: CanvasRenderingContext2D, view: WallView, ratio: number): void {
    const { k, tx, ty, width, height } = view;
    const placed = this.#placed(context, view);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.textBaseline = 'middle';
    context.lineJoin = 'round';
    let lastFont = '';
    for (const { at, word, font, lines, lineHeightPx } of placed) {
      const x = at[0] * k + tx + word.offsetX;
      const y = at[1] * k + ty + word.offsetY;
      if (x < -BESIDE.x || y < -BESIDE.y || x > width + BESIDE.x || y > height + BESIDE.y) continue;
      if (font !== lastFont) context.font = lastFont = font;
      context.textAlign = word.textAlign;
      for (const [i, line] of lines.entries()) {
        const lineY = y + (i - (lines.length - 1) / 2) * lineHeightPx;
        if (word.halo) {
          context.strokeStyle = word.halo.color;
          context.lineWidth = word.halo.width;
          context.strokeText(line, x, lineY);
        }
        context.fillStyle = word.color;
        context.fillText(line, x, lineY);
      }
    }
  }

  /**
   * The words that stand at this size, on the screen and a screen's width round it: while the wall is
   * pushed about they are the same. Names of small windows would run into one another: those that do
   * not fit are left out.
   */
  #placed(context: CanvasRenderingContext2D, view: WallView): readonly PlacedWord[] {
    const { k, tx, ty, width, height } = view;
    const known = this.#layout;
    if (
      known?.k === k &&
      known.lettering === lettering &&
      Math.abs(known.tx - tx) <= width &&
      Math.abs(known.ty - ty) <= height
    )
      return known.words;
    const words: (Omit<PlacedWord, 'font' | 'lines' | 'lineHeightPx'> & {
      x: number;
      y: number;
    })[] = [];
    for (const [at, said] of this.#words) {
      const x = at[0] * k;
      const y = at[1] * k;
      if (x + tx < -width - BESIDE.x || x + tx > 2 * width + BESIDE.x) continue;
      if (y + ty < -height - BESIDE.y || y + ty > 2 * height + BESIDE.y) continue;
      const word = this.#ink.word(said, 1 / k);
      if (word) words.push({ at, word, x: x + word.offsetX, y: y + word.offsetY });
    }
    words.sort((a, b) => b.word.rank - a.word.rank);
    const taken: WordBox[] = [];
    const placed: PlacedWord[] = [];
    for (const { at, word, x, y } of words) {
      const lines = word.text.split('\n');
      const sizes = lines.map((line) => sizeOf(context, word, line));
      const widthPx = Math.max(...sizes.map((size) => size.widthPx));
      const lineHeightPx = sizes[0]!.heightPx;
      const box = {
        x: word.textAlign === 'right' ? x - widthPx / 2 : x,
        y,
        halfWidth: widthPx / 2 + 4,
        halfHeight: (lines.length * lineHeightPx) / 2,
      };
      if (taken.some((other) => overlap(box, other))) continue;
      taken.push(box);
      placed.push({ at, word, font: fontOf(word), lines, lineHeightPx });
    }
    this.#layout = { k, tx, ty, lettering, words: placed };
    return placed;
  }
}

/** Words reach over the edge of the screen from so far beside it, px. */
const BESIDE = { x: 300, y: 100 };

interface PlacedWord {
  /** mm of the wall */
  readonly at: Xy;
  readonly word: WordInk;
  readonly font: string;
  readonly lines: readonly string[];
  readonly lineHeightPx: number;
}

/** Which words stand at one size, around one place of the wall. */
interface WordLayout {
  readonly k: number;
  readonly tx: number;
  readonly ty: number;
  readonly lettering: number;
  readonly words: readonly PlacedWord[];
}

interface WordBox {
  readonly x: number;
  readonly y: number;
  readonly halfWidth: number;
  readonly halfHeight: number;
}

const overlap = (a: WordBox, b: WordBox): boolean =>
  Math.abs(a.x - b.x) < a.halfWidth + b.halfWidth &&
  Math.abs(a.y - b.y) < a.halfHeight + b.halfHeight;

const fontOf = ({ weight, sizePx, family }: Pick<WordInk, 'weight' | 'sizePx' | 'family'>) =>
  `${weight} ${sizePx}px ${family}`;

/** Letters grow with their size: a word is measured once, at this size, px. */
const MEASURED_PX = 20;
interface Measured {
  readonly width: number;
  readonly height: number;
}
/** By family, then by weight and words. */
const measured = new Map<string, Map<string, Measured>>();
/** Counts the sets of letters that the words were measured with. */
let lettering = 0;

function sizeOf(context: CanvasRenderingContext2D, word: WordInk, line: string) {
  const ofFamily = measured.get(word.family) ?? new Map<string, Measured>();
  measured.set(word.family, ofFamily);
  const key = String(word.weight) + line;
  let size = ofFamily.get(key);
  if (!size) {
    const before = context.font;
    context.font = fontOf({ ...word, sizePx: MEASURED_PX });
    const told = context.measureText(line);
    context.font = before;
    size = {
      width: told.width / MEASURED_PX,
      height: (told.fontBoundingBoxAscent + told.fontBoundingBoxDescent) / MEASURED_PX,
    };
    ofFamily.set(key, size);
  }
  return { widthPx: size.width * word.sizePx, heightPx: size.height * word.sizePx };
}

/**
 * Tells when another set of letters has come: words were measured, and painted, with those that there
 * were. @returns stops it
 */
export function watchLetters(hear: () => void): () => void {
  const came = () => {
    measured.clear();
    lettering++;
    hear();
  };
  document.fonts.addEventListener('loadingdone', came);
  return () => {
    document.fonts.removeEventListener('loadingdone', came);
  };
}

function traced(lines: Rings, isClosed = true): Path2D {
  const path = new Path2D();
  for (const line of lines) {
    let isFirst = true;
    for (const [x, y] of line) {
      if (isFirst) path.moveTo(x, y);
      else path.lineTo(x, y);
      isFirst = false;
    }
    if (isClosed) path.closePath();
  }
  return path;
}

/** @returns pieces whose edge was painted */
function paintPieces(
  brush: Brush,
  outlines: readonly NamedOutline[],
  said: ReadonlyMap<string, Hatch> | undefined,
  resolution: number,
): number {
  const { lead, glass } = glassShown(resolution);
  if (lead === 0) return 0;
  const tones = glassTones.map((): (readonly Xy[])[] => []);
  let pieces = 0;
  let panel: (readonly Xy[])[] = [];
  const close = () => {
    // The lead is the panel with the glass cut out of it.
    if (panel.length > 0) brush.fill(traced(panel), leadColour, lead);
  };
  for (const [index, { name, ringsMm }] of outlines.entries()) {
    if (!name.includes('.')) {
      close();
      panel = ringsMm.slice(0, 1);
      continue;
    }
    pieces += 1;
    panel.push(...ringsMm);
    if (glass > 0) tones[toneOf(index)]!.push(...ringsMm);
  }
  close();
  if (glass === 0) return pieces;
  for (const [tone, rings] of tones.entries()) brush.fill(traced(rings), glassTones[tone]!, glass);
  for (const { name, ringsMm } of said ? outlines : []) {
    const hatch = said?.get(name);
    if (!hatch) continue;
    const path = traced(ringsMm);
    brush.fill(path, hatchFill(hatch), glass);
    brush.stroke(path, { color: leadColour, width: 1 }, glass);
  }
  return pieces;
}

/** Paths in mm of a window onto px of the screen. */
class Brush {
  readonly #context: CanvasRenderingContext2D;
  readonly #view: WallView;
  readonly #ratio: number;

  constructor(context: CanvasRenderingContext2D, view: WallView, ratio: number) {
    this.#context = context;
    this.#view = view;
    this.#ratio = ratio;
    context.lineJoin = 'round';
  }

  /** Where the frame of what comes next begins, mm. */
  at(xMm: number, yMm: number): void {
    const { k, tx, ty } = this.#view;
    const scale = k * this.#ratio;
    this.#context.setTransform(
      scale,
      0,
      0,
      scale,
      (xMm * k + tx) * this.#ratio,
      (yMm * k + ty) * this.#ratio,
    );
  }

  fill(path: Path2D, style: CanvasPattern | string, opacity = 1): void {
    if (opacity === 0) return;
    const context = this.#context;
    // A hatch keeps its size on the screen whatever the zoom.
    if (typeof style !== 'string') {
      const scale = 1 / (this.#view.k * this.#ratio);
      style.setTransform({ a: scale, b: 0, c: 0, d: scale, e: 0, f: 0 });
    }
    context.globalAlpha = opacity;
    context.fillStyle = style;
    context.fill(path, 'evenodd');
    context.globalAlpha = 1;
  }

  stroke(path: Path2D, { color, width, lineCap }: LineInk, opacity = 1): void {
    const context = this.#context;
    context.globalAlpha = opacity;
    context.strokeStyle = color;
    context.lineWidth = width / this.#view.k;
    context.lineCap = lineCap ?? 'round';
    context.stroke(path);
    context.globalAlpha = 1;
  }
}
