/**
 * With what the wall is drawn: fills, lines and words of each part at each size. The map and the first
 * look before it ask here, so that one takes the other's place unseen.
 */
import type { PanelPlace } from '#libs/elevation';
import type { Xy } from '../drawing/plane.js';
import type { WindowPanel } from '../platform/api/windows.js';
import { token } from '../platform/ground.js';
import { type Hatch, hatchFill, plain } from './hatches.js';
import { inTwoLines } from './in-two-lines.js';
import type { Showing } from './showing/showing.js';
import type { HungRow, HungWindow } from './wall-layout.js';

export interface WallLook {
  /** null: nothing is shown but the drawing */
  readonly showing: Showing | null;
  /** panels by window; a window that is not there is not known yet */
  readonly panels: ReadonlyMap<string, ReadonlyMap<string, WindowPanel>>;
  /** the window that one stands before: the others step back */
  readonly windowId: string | null;
}

export interface LineInk {
  readonly color: string;
  readonly width: number;
  readonly lineCap?: 'butt';
}

export interface WordInk {
  /** with line breaks */
  readonly text: string;
  readonly sizePx: number;
  /** weight and family around the size, as CSS says it */
  readonly weight: number;
  readonly family: string;
  readonly color: string;
  readonly halo?: LineInk;
  readonly offsetX: number;
  readonly offsetY: number;
  readonly textAlign: 'right' | 'center';
  /** where words run into one another the higher stays */
  readonly rank: number;
}

/** What a word on the wall is about. */
export interface WallWord {
  readonly kind: 'panel' | 'site' | 'window' | 'row' | 'letter';
  readonly text?: string;
  readonly windowId?: string;
  readonly place?: PanelPlace;
  readonly index?: number;
  readonly stepMm?: number;
  readonly widthMm?: number;
  readonly heightMm?: number;
}

const font = '"Atkinson Hyperlegible Next Variable", sans-serif';
/** Px on screen from which a panel's mark helps. */
const markFromPx = { width: 38, height: 24 };
/** From this height, px, marks give way to the glass itself. */
const markToPx = 150;
/** A window smaller than this, px, is chosen whole. */
export const farPx = 170;

/** Neighbours differ a little, so that the eye finds the pieces. */
export const glassTones = ['#d9dcd3', '#cfd6d4', '#dedccf', '#c9d2d2', '#d5d3c6', '#d0dad0'];
/** @param index of the piece among all outlines of its window */
export const toneOf = (index: number): number => (index * 5) % glassTones.length;
export const leadColour = '#0c0d0d';

/** Panels of this height, px on the screen, begin to show their leads, and their glass. */
const leadsFromPx = 14;
const glassFromPx = { begins: 90, whole: 170 };
/** Height of a usual panel, mm: the wall is looked at as a whole, not panel by panel. */
const panelMm = 500;

/** Far off a panel shows its state behind its leads; near, its glass as well. Opacities, 0 to 1. */
export function glassShown(resolution: number): { readonly lead: number; readonly glass: number } {
  const heightPx = panelMm / resolution;
  const glass = between(heightPx, glassFromPx.begins, glassFromPx.whole);
  return {
    glass,
    lead: Math.max(glass, 0.75 * between(heightPx, leadsFromPx, leadsFromPx + 45)),
  };
}

/** 0 to 1 as a value goes from one to another. */
const between = (value: number, from: number, to: number): number =>
  Math.min(1, Math.max(0, (value - from) / (to - from)));

export const openingInk = () => ({
  sill: { color: token('table-opening-edge'), width: 1.5 },
  fill: `${token('table-opening')}80`,
  edge: { color: token('table-opening-edge'), width: 2 },
});

/** The line under a row of windows. */
export const sillOf = ({ box }: HungRow): readonly Xy[] => [
  [box.minX - 400, box.maxY],
  [box.maxX + 400, box.maxY],
];

/** The words under a row, and those of each of its windows, each where it stands. */
export function wordsOf(row: HungRow): readonly (readonly [Xy, WallWord])[] {
  const { name, windows, box } = row;
  return [
    ...(name === null
      ? []
      : [
          [
            [(box.minX + box.maxX) / 2, box.maxY],
            { kind: 'site', text: inTwoLines(name) },
          ] as readonly [Xy, WallWord],
        ]),
    ...windows.flatMap(wordsOfWindow),
  ];
}

function wordsOfWindow({
  windowId,
  name,
  shape,
  xMm,
  yMm,
}: HungWindow): readonly (readonly [Xy, WallWord])[] {
  const { heightMm } = shape;
  const left = Math.min(0, ...shape.lights.map((light) => light.xMm));
  const [first, second] = shape.rows;
  const stepMm = first && second ? Math.abs(first.yMm - second.yMm) : 400;
  return [
    ...shape.places.map((place): readonly [Xy, WallWord] => {
      const { minX, minY, maxX, maxY } = place.boundsMm;
      return [
        [(minX + maxX) / 2 + xMm, (minY + maxY) / 2 + yMm],
        { kind: 'panel', windowId, place },
      ];
    }),
    [
      [shape.widthMm / 2 + xMm, heightMm + yMm],
      { kind: 'window', windowId, text: name, widthMm: shape.widthMm, heightMm },
    ],
    ...shape.rows.map(({ row: number, yMm: y }): readonly [Xy, WallWord] => [
      [left + xMm, y + yMm],
      { kind: 'row', windowId, text: String(number), index: number - 1, stepMm, heightMm },
    ]),
    ...shape.lights.flatMap(({ letters, bottomMm }) =>
      letters.map(({ letter, xMm: x }): readonly [Xy, WallWord] => [
        [x + xMm, bottomMm + yMm],
        { kind: 'letter', windowId, text: letter, heightMm },
      ]),
    ),
  ];
}

export class WallInk {
  readonly #look: WallLook | undefined;
  readonly #hatches: ReadonlyMap<string, Hatch>;

  constructor(look?: WallLook) {
    this.#look = look;
    this.#hatches = new Map(look?.showing?.shades.map(({ key, hatch }) => [key, hatch]));
  }

  #stepsBack(of: string | undefined): boolean {
    const windowId = this.#look?.windowId ?? null;
    return windowId !== null && of !== windowId;
  }

  #panel(windowId: string, { mark }: PanelPlace): WindowPanel | undefined {
    return this.#look?.panels.get(windowId)?.get(mark);
  }

  #hatch(windowId: string, place: PanelPlace): Hatch {
    const panel = this.#panel(windowId, place);
    const showing = this.#look?.showing;
    if (!panel || !showing) return plain;
    return this.#hatches.get(showing.ofPanel(windowId, panel)) ?? plain;
  }

  panelFill(windowId: string, place: PanelPlace): CanvasPattern | string {
    return this.#stepsBack(windowId)
      ? token('table-far-glass')
      : hatchFill(this.#hatch(windowId, place));
  }

  /** @param resolution mm a px, here and below */
  panelLine(resolution: number): LineInk {
    return { color: '#0a0b0b', width: Math.max(1.2, Math.min(1.6, 10 / resolution)) };
  }

  stone(windowId: string, isBar: boolean, resolution: number): LineInk {
    const color = this.#stepsBack(windowId)
      ? token('table-far-stone')
      : token(isBar ? 'table-bar' : 'table-stone');
    return isBar
      ? { color, width: Math.max(2, 14 / resolution), lineCap: 'butt' }
      : { color, width: Math.max(2.2, 18 / resolution) };
  }

  /** undefined where a word would not help at this size. */
  word(said: WallWord, resolution: number): WordInk | undefined {
    const heightPx = (said.heightMm ?? Infinity) / resolution;
    const far = heightPx < farPx;
    const back = this.#stepsBack(said.windowId);
    if (said.kind === 'panel')
      return back ? undefined : this.#mark(said.windowId!, said.place!, resolution);
    if (said.kind === 'site')
      return word(said.text!, {
        sizePx: 20,
        family: 'Literata Variable, serif',
        dy: 84,
      });
    if (said.kind === 'window')
      return word(said.text!, {
        sizePx: far ? 15 : 17,
        weight: 600,
        dy: far ? 22 : 46,
        color: back ? token('table-far-ink') : token('table-ink'),
        // the window that one is at keeps its name, then the wider ones
        rank: back ? 0 : 1 + said.widthMm!,
      });
    if (far || back) return undefined;
    if (said.kind === 'row') {
      const every = Math.max(1, Math.ceil((19 * resolution) / said.stepMm!));
      return said.index! % every === 0
        ? word(said.text!, { sizePx: 14, dx: -12, textAlign: 'right' })
        : undefined;
    }
    return word(said.text!, { sizePx: 15, dy: 17 });
  }

  #mark(windowId: string, place: PanelPlace, resolution: number): WordInk | undefined {
    const { mark, boundsMm } = place;
    const width = (boundsMm.maxX - boundsMm.minX) / resolution;
    const height = (boundsMm.maxY - boundsMm.minY) / resolution;
    const panel = this.#panel(windowId, place);
    const isGlass = panel?.netRevision != null && height > markToPx;
    if (width < markFromPx.width || height < markFromPx.height || isGlass) return undefined;
    const hatch = this.#hatch(windowId, place);
    const pale = hatch.pale === true;
    const count = panel === undefined ? 0 : (this.#look?.showing?.countOf?.(panel) ?? 0);
    const many = count > 0 ? `: ${count}` : '';
    return word(mark + many, {
      sizePx: Math.min(15, Math.max(11, height * 0.5)),
      weight: 500,
      color: hatch === plain ? token('table-unlit-ink') : pale ? '#16181a' : '#f2efe8',
      halo: hatch === plain ? `${token('table-unlit-halo')}b0` : pale ? '#f3efe6b0' : '#0b0d0ecc',
    });
  }
}

function word(
  text: string,
  {
    sizePx,
    weight = 400,
    family = font,
    color = token('table-quiet'),
    halo,
    dx = 0,
    dy = 0,
    textAlign = 'center',
    rank = 0,
  }: {
    sizePx: number;
    weight?: number;
    family?: string;
    color?: string;
    halo?: string;
    dx?: number;
    dy?: number;
    textAlign?: WordInk['textAlign'];
    rank?: number;
  },
): WordInk {
  return {
    text,
    sizePx: Math.round(sizePx),
    weight,
    family,
    color,
    ...(halo ? { halo: { color: halo, width: 3 } } : {}),
    offsetX: dx,
    offsetY: dy,
    textAlign,
    rank,
  };
}
