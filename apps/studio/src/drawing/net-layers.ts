/**
 * The lead drawing: pieces that let light through, leads as bands of their true width, numbers where
 * they fit. Drawn afresh at every zoom, so widths are always true to scale.
 */
import Feature, { type FeatureLike } from 'ol/Feature.js';
import LineString from 'ol/geom/LineString.js';
import Point from 'ol/geom/Point.js';
import Polygon from 'ol/geom/Polygon.js';
import VectorLayer from 'ol/layer/Vector.js';
import VectorSource from 'ol/source/Vector.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import Text from 'ol/style/Text.js';
import type { Net, NetLead, NetPiece } from '#libs/net';
import { lineToMap, ringToMap, toMap, type Xy } from './plane.js';

export type LeadLook = 'bands' | 'lines' | 'none';

export interface NetLook {
  /** 1: nothing lies under the drawing, glass shines by itself; 0: only the picture shines */
  readonly glass: number;
  readonly leads: LeadLook;
  /** outlines traced so far, not leads: drawn as light lines */
  readonly traced: boolean;
  readonly numbers: boolean;
  readonly selected: string | null;
  /** pieces chosen beside it */
  readonly chosen: ReadonlySet<string>;
  readonly hovered: string | null;
  /** pieces off the lead, and how they came off */
  readonly lifted: ReadonlyMap<string, string>;
  readonly doubts: boolean;
  readonly doubt: string | null;
}

export const plainLook: NetLook = {
  glass: 1,
  leads: 'bands',
  traced: false,
  numbers: true,
  selected: null,
  chosen: new Set(),
  hovered: null,
  lifted: new Map(),
  doubts: false,
  doubt: null,
};

const font = '"Atkinson Hyperlegible Next Variable", sans-serif';
const stain = '#e2a42b';
/** Neighbours differ a little, so that the eye finds the pieces before the numbers. */
const glassTones = ['#d9dcd3', '#cfd6d4', '#dedccf', '#c9d2d2', '#d5d3c6', '#d0dad0'];

export class NetLayers {
  readonly layers: readonly VectorLayer[];
  readonly #pieces = new VectorSource();
  readonly #leads = new VectorSource();
  readonly #labels = new VectorSource();
  readonly #marks = new VectorSource();
  #look: NetLook = plainLook;

  constructor() {
    const layer = (
      source: VectorSource,
      style: (f: FeatureLike, r: number) => Style[] | undefined,
    ) =>
      new VectorLayer({ source, style, updateWhileAnimating: true, updateWhileInteracting: true });
    this.layers = [
      layer(this.#pieces, (f) => this.#pieceStyle(f)),
      layer(this.#leads, (f, r) => this.#leadStyle(f, r)),
      layer(this.#marks, (f) => this.#markStyle(f)),
      layer(this.#labels, (f, r) => this.#labelStyle(f, r)),
    ];
  }

  setNet(net: Net | null): void {
    for (const source of [this.#pieces, this.#leads, this.#labels]) source.clear();
    if (!net) return;
    this.#pieces.addFeatures(
      net.pieces.map(
        (piece) => new Feature({ geometry: new Polygon([ringToMap(piece.centreRingMm)]), piece }),
      ),
    );
    this.#leads.addFeatures(
      net.leads.map(
        (lead) => new Feature({ geometry: new LineString(lineToMap(lead.lineMm)), lead }),
      ),
    );
    this.#labels.addFeatures(
      net.pieces.map((piece) => new Feature({ geometry: new Point(toMap(piece.labelMm)), piece })),
    );
  }

  /** Rings round what a person should look at. */
  setDoubts(doubts: readonly { readonly key: string; readonly xyMm: Xy }[]): void {
    this.#marks.clear();
    this.#marks.addFeatures(
      doubts.map(({ key, xyMm }) => new Feature({ geometry: new Point(toMap(xyMm)), doubt: key })),
    );
  }

  setLook(look: NetLook): void {
    this.#look = look;
    for (const layer of this.layers) layer.changed();
  }

  #pieceStyle(feature: FeatureLike): Style[] {
    const piece = feature.get('piece') as NetPiece;
    const { glass, selected, chosen, hovered } = this.#look;
    const tone = glassTones[(piece.number * 5 + (piece.part?.length ?? 0)) % glassTones.length]!;
    const lit = piece.pieceId === hovered ? 0.16 : 0;
    const styles = [
      new Style({ fill: new Fill({ color: withAlpha(tone, Math.max(0.001, glass * 0.96)) }) }),
    ];
    const off = this.#look.lifted.get(piece.pieceId);
    if (off !== undefined) styles.push(...liftedStyles(off));
    if (lit > 0) styles.push(new Style({ fill: new Fill({ color: withAlpha(stain, lit) }) }));
    if (piece.pieceId === selected || chosen.has(piece.pieceId))
      styles.push(new Style({ fill: new Fill({ color: withAlpha(stain, 0.3) }) }));
    return styles;
  }

  #leadStyle(feature: FeatureLike, resolution: number): Style[] | undefined {
    const lead = feature.get('lead') as NetLead;
    const { leads, selected, doubts } = this.#look;
    const borders =
      selected !== null && (lead.leftPieceId === selected || lead.rightPieceId === selected);
    const doubtful = doubts && lead.doubts.length > 0;
    if (leads === 'none' && !borders && !doubtful) return undefined;
    const widthPx = Math.max(1, lead.faceWidthMm / resolution);
    const styles: Style[] = [];
    const dash = lead.kind === 'broken' ? [widthPx, widthPx * 1.3] : undefined;
    const stroke = (color: string, width: number) =>
      new Style({
        stroke: new Stroke({
          color,
          width,
          lineCap: dash ? 'butt' : 'round',
          lineJoin: 'round',
          ...(dash ? { lineDash: dash } : {}),
        }),
      });
    if (this.#look.traced) {
      styles.push(stroke('#0b0d0ecc', 4.5), stroke('#d9d3c3', 2));
    } else if (leads === 'bands') {
      styles.push(stroke('#0c0d0d', widthPx));
      // the light that a round came throws back
      if (widthPx > 7) styles.push(stroke('#2c3335', widthPx * 0.26));
    } else if (leads === 'lines') {
      styles.push(stroke('#0b0d0ecc', 4.5), stroke('#f4f1e8', 1.8));
    }
    if (doubtful) styles.push(stroke(stain, leads === 'bands' ? Math.max(2, widthPx * 0.4) : 2.5));
    if (borders) styles.push(stroke(stain, 3));
    return styles;
  }

  #markStyle(feature: FeatureLike): Style[] | undefined {
    const { doubts, doubt } = this.#look;
    if (!doubts) return undefined;
    const radiusPx = 13;
    const on = feature.get('doubt') === doubt;
    return [
      new Style({
        image: new Circle({
          radius: radiusPx,
          stroke: new Stroke({ color: '#0c0d0d', width: on ? 7 : 5 }),
        }),
      }),
      new Style({
        image: new Circle({
          radius: radiusPx,
          stroke: new Stroke({ color: stain, width: on ? 4 : 2.2 }),
          ...(on ? { fill: new Fill({ color: withAlpha(stain, 0.2) }) } : {}),
        }),
      }),
    ];
  }

  #labelStyle(feature: FeatureLike, resolution: number): Style[] | undefined {
    if (!this.#look.numbers) return undefined;
    const piece = feature.get('piece') as NetPiece;
    const roomPx = piece.labelRadiusMm / resolution;
    if (roomPx < 7 && piece.pieceId !== this.#look.selected) return undefined;
    const sizePx = Math.min(22, Math.max(11, Math.round(roomPx * 0.85)));
    return [
      new Style({
        text: new Text({
          text: `${piece.pieceId}${LIFT_SIGNS[this.#look.lifted.get(piece.pieceId) ?? ''] ?? ''}`,
          font: `600 ${sizePx}px ${font}`,
          fill: new Fill({ color: '#16181a' }),
          stroke: new Stroke({ color: '#f3efe6e6', width: this.#look.glass > 0.7 ? 0.01 : 3.5 }),
        }),
      }),
    ];
  }
}

/** Said beside the number too, so that nobody needs the colours. */
const LIFT_SIGNS: Readonly<Record<string, string>> = { lifted: ' ✓', broken: ' ✗', with: ' +' };

/** The glass is gone from the lead: it does not shine any more; broken ones bear a dashed edge. */
function liftedStyles(off: string): Style[] {
  const fill = new Style({ fill: new Fill({ color: off === 'with' ? '#7f97a8' : '#8b9095' }) });
  if (off !== 'broken') return [fill];
  const edge = new Stroke({ color: '#ff9d76', width: 4, lineDash: [6, 6] });
  return [fill, new Style({ stroke: edge, zIndex: 1 })];
}

/** @param color '#rrggbb' */
export function withAlpha(color: string, alpha: number): string {
  const byte = Math.round(Math.min(1, Math.max(0, alpha)) * 255);
  return `${color.slice(0, 7)}${byte.toString(16).padStart(2, '0')}`;
}

/** Every point of the drawing, to bring it into view. */
export function netPoints(net: Net): readonly Xy[] {
  return net.outlineMm.length > 0 ? net.outlineMm : net.joints.map((joint) => joint.xyMm);
}
