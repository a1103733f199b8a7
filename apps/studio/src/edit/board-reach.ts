/** How far a mouse, a pen or a finger reaches on the board, and what lies there. */
import type OlMap from 'ol/Map.js';
import { type Drawing, type Snapper, snapper } from '#libs/net';
import type { Xy } from '../drawing/plane.js';
import type { Held } from './hand.js';

const reachPx: Readonly<Record<string, number>> = { mouse: 9, pen: 14, touch: 24 };
const snapPx = 12;
/** Seen small, a dozen px are a hand's breadth of glass: nothing is pulled farther than this. */
const mostSnapMm = 6;

export class BoardReach {
  readonly #map: OlMap;
  readonly #drawing: () => Drawing;
  #snapper: { of: Drawing; is: Snapper } | null = null;

  constructor(map: OlMap, drawing: () => Drawing) {
    this.#map = map;
    this.#drawing = drawing;
  }

  /** mm per px of the screen */
  get resolution(): number {
    return this.#map.getView().getResolution() ?? 1;
  }

  get snapMm(): number {
    return Math.min(mostSnapMm, snapPx * this.resolution);
  }

  /** What lies near a place of the drawing as it is. */
  get near(): Snapper {
    const of = this.#drawing();
    if (this.#snapper?.of !== of) this.#snapper = { of, is: snapper(of) };
    return this.#snapper.is;
  }

  /** @param pointer 'mouse', 'pen' or 'touch' */
  heldAt(xyMm: Xy, pointer: string): Held | null {
    const at = this.near.snap(xyMm, this.#reachMm(pointer));
    if (at.on === 'joint') return { is: 'joint', jointId: at.jointId };
    return at.on === 'lead' ? { is: 'lead', leadId: at.leadId, alongMm: at.alongMm } : null;
  }

  /** The lead there, though one of its ends be within reach. */
  leadAt(xyMm: Xy, pointer: string): Extract<Held, { is: 'lead' }> | null {
    const lead = this.near.leadNear(xyMm, this.#reachMm(pointer));
    return lead ? { is: 'lead', leadId: lead.leadId, alongMm: lead.alongMm } : null;
  }

  #reachMm(pointer: string): number {
    return (reachPx[pointer] ?? 9) * this.resolution;
  }
}
