/** Aiming without a pointer: arrow keys move a cross over the drawing, Enter taps there. */
import type OlMap from 'ol/Map.js';
import { fromMap, toMap, type Xy } from '../drawing/plane.js';

/** One press of an arrow key; with Shift a small one. */
const stepPx = { plain: 24, small: 2 } as const;
/** The cross is kept so far from the edges of the board: below lie the tools. */
const edgePx = { top: 60, side: 60, bottom: 160 } as const;

const directions: Readonly<Record<string, Xy>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

export class BoardKeys {
  readonly #map: OlMap;
  readonly #onTap: (xyMm: Xy) => void;
  readonly #onAim: (xyMm: Xy) => void;
  #aim: Xy | null = null;
  #corner: Xy | null = null;

  constructor(
    map: OlMap,
    events: { readonly onTap: (xyMm: Xy) => void; readonly onAim: (xyMm: Xy) => void },
  ) {
    this.#map = map;
    this.#onTap = events.onTap;
    this.#onAim = events.onAim;
  }

  /** Where the keys aim; null while a pointer does. */
  get aim(): Xy | null {
    return this.#aim;
  }

  /** A box that is being drawn by keys. */
  get box(): readonly [Xy, Xy] | null {
    return this.#corner && this.#aim ? [this.#corner, this.#aim] : null;
  }

  beginBox(): void {
    this.#corner = this.#aim;
  }

  /** The corner that was set first, if any; it is let go of. */
  takeCorner(): Xy | null {
    const corner = this.#corner;
    this.#corner = null;
    return corner;
  }

  dropBox(): boolean {
    return this.takeCorner() !== null;
  }

  /** A pointer aims instead. */
  leave(): void {
    this.#aim = null;
    this.#corner = null;
  }

  aimAt(xyMm: Xy): void {
    this.#aim = xyMm;
    this.#keepInView(xyMm);
    this.#onAim(xyMm);
  }

  /** To be asked before the map's own keys. */
  hear(event: KeyboardEvent): void {
    const direction = directions[event.key];
    if (!direction && event.key !== 'Enter') return;
    event.preventDefault();
    event.stopPropagation();
    const view = this.#map.getView();
    const at = this.#aim ?? fromMap(view.getCenter() ?? [0, 0]);
    if (!direction) {
      this.#aim = at;
      this.#onTap(at);
      return;
    }
    const px = event.shiftKey ? stepPx.small : stepPx.plain;
    const stepMm = px * (view.getResolution() ?? 1);
    this.aimAt([at[0] + direction[0] * stepMm, at[1] + direction[1] * stepMm]);
  }

  /** Moves the drawing along when the cross comes to the edge of the board. */
  #keepInView(xyMm: Xy): void {
    const view = this.#map.getView();
    const [width = 0, height = 0] = this.#map.getSize() ?? [];
    const [x, y] = toMap(xyMm) as [number, number];
    const [cx, cy] = (view.getCenter() ?? [0, 0]) as [number, number];
    const resolution = view.getResolution() ?? 1;
    /** How far it is out of the room on either side of the middle. */
    const over = (off: number, belowPx: number, abovePx: number) => {
      const [least, most] = [-belowPx * resolution, abovePx * resolution];
      return off > most ? off - most : off < least ? off - least : 0;
    };
    const room = (sizePx: number, edge: number) => Math.max(0, sizePx / 2 - edge);
    const dx = over(x - cx, room(width, edgePx.side), room(width, edgePx.side));
    // The map's own y points up.
    const dy = over(y - cy, room(height, edgePx.bottom), room(height, edgePx.top));
    if (dx !== 0 || dy !== 0) view.setCenter([cx + dx, cy + dy]);
  }
}
