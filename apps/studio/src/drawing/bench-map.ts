/**
 * The bench: one drawing in panel millimetres. From below: pictures, the lead drawing, the findings,
 * what is being drawn. Holds the map's objects; the screen tells it what to show.
 */
import type OlMap from 'ol/Map.js';
import type { Net } from '#libs/net';
import { type DrawnFinding, FindingsLayer } from './findings-layer.js';
import { pieceAt } from './net-geometry.js';
import { NetLayers, type NetLook } from './net-layers.js';
import { type Box, boxOf, fromMap, type Xy } from './plane.js';
import { type Air, makePlaneMap, showBox } from './plane-map.js';
import { SheetStack, type StackedSheet } from './sheet-stack.js';

export interface BenchEvents {
  readonly onPiece: (pieceId: string | null) => void;
  readonly onFinding: (findingId: string) => void;
  readonly onHover: (pieceId: string | null) => void;
  readonly onView: (resolutionMmPerPx: number) => void;
  /** a person zoomed out until the panel is small: back to the window it stands in */
  readonly onFar: () => void;
}

/** So many times smaller than when it is seen whole, a panel is a part of its window again. */
const farTimes = 3;

export class BenchMap {
  readonly map: OlMap;
  readonly #events: BenchEvents;
  readonly #net = new NetLayers();
  readonly #findings = new FindingsLayer();
  readonly #sheets: SheetStack;
  #shown: Net | null = null;
  #isDrawnOn = false;
  #wholeResolution = Infinity;
  #whole: Box | null = null;
  #footPx = 0;

  constructor(target: HTMLElement, events: BenchEvents) {
    this.#events = events;
    this.map = makePlaneMap(target, { minResolution: 0.012, maxResolution: 8 });
    this.#sheets = new SheetStack(this.map);
    this.#net.layers.forEach((layer, index) => {
      layer.setZIndex(index < 3 ? 2 : 4);
      this.map.addLayer(layer);
    });
    this.#findings.layer.setZIndex(3);
    this.map.addLayer(this.#findings.layer);
    this.map.on('click', (event) => {
      if (this.#isDrawnOn) return;
      const finding = this.map.forEachFeatureAtPixel(
        event.pixel,
        (feature) => (feature.get('finding') as DrawnFinding | undefined)?.findingId,
        { layerFilter: (layer) => layer === this.#findings.layer, hitTolerance: 8 },
      );
      if (finding) this.#events.onFinding(finding);
      else
        this.#events.onPiece(
          this.#shown ? (pieceAt(this.#shown, fromMap(event.coordinate))?.pieceId ?? null) : null,
        );
    });
    this.map.on('pointermove', (event) => {
      if (event.dragging || (event.originalEvent as PointerEvent).pointerType !== 'mouse') return;
      const piece = this.#shown && pieceAt(this.#shown, fromMap(event.coordinate));
      this.#events.onHover(piece?.pieceId ?? null);
    });
    const tell = () => {
      this.#events.onView(this.map.getView().getResolution() ?? 1);
    };
    this.map.getView().on('change:resolution', tell);
    tell();
    this.map.on('moveend', () => {
      const now = this.map.getView().getResolution() ?? 1;
      if (!this.#isDrawnOn && now > this.#wholeResolution * farTimes) this.#events.onFar();
    });
  }

  setNet(net: Net | null): void {
    this.#shown = net;
    this.#net.setNet(net);
  }

  setDoubts(doubts: readonly { readonly key: string; readonly xyMm: Xy }[]): void {
    this.#net.setDoubts(doubts);
  }

  setLook(look: NetLook): void {
    this.#net.setLook(look);
  }

  setFindings(findings: readonly DrawnFinding[], selected: string | null): void {
    this.#findings.set(findings);
    this.#findings.select(selected);
  }

  /** @param sheets from below */
  setSheets(sheets: readonly StackedSheet[]): void {
    this.#sheets.set(sheets);
  }

  /**
   * Keeps room for what lies over the foot of the drawing; a panel that is seen whole stays so.
   * @param footPx 0: no more than there always is
   */
  setFoot(footPx: number): void {
    if (footPx === this.#footPx) return;
    this.#footPx = footPx;
    const now = this.map.getView().getResolution() ?? 1;
    if (this.#whole && Math.abs(now / this.#wholeResolution - 1) < 0.01)
      this.showWhole(this.#whole);
  }

  /** Brings the whole panel into view. */
  showWhole(box: Box): void {
    this.#whole = box;
    this.showBox(box);
    this.#wholeResolution = this.map.getView().getResolution() ?? Infinity;
  }

  showBox(box: Box, glide = false): void {
    showBox(this.map, box, { air: this.#air(), glide });
  }

  /** Room for what lies over the drawing: the pictures and the words to record with. */
  #air(): Air {
    const [width = 800, height = 800] = this.map.getSize() ?? [];
    const foot = this.#footPx;
    if (width >= 600) return [40, 40, Math.max(92, foot), 190];
    if (height < 460) return [12, 12, 40, 12];
    // While something is drawn the pictures make room for it.
    return foot > 0 ? [12, 12, foot, 12] : [122, 14, 92, 14];
  }

  /** Brings a piece or a place into view; leaves the view alone where it can be seen well already. */
  showPlace(points: readonly Xy[]): void {
    const box = boxOf(points);
    const view = this.map.getView();
    const [minX, minY, maxX, maxY] = view.calculateExtent(this.map.getSize() ?? [300, 300]);
    const seen = box.minX > minX! && box.maxX < maxX! && -box.maxY > minY! && -box.minY < maxY!;
    const sizePx = Math.max(box.maxX - box.minX, box.maxY - box.minY) / (view.getResolution() ?? 1);
    if (seen && sizePx > 44) return;
    const air = Math.max(30, box.maxX - box.minX, box.maxY - box.minY) * 0.9;
    this.showBox(
      {
        minX: box.minX - air,
        minY: box.minY - air,
        maxX: box.maxX + air,
        maxY: box.maxY + air,
      },
      true,
    );
  }

  /** While something is drawn, taps belong to the drawing hand and the panel is not left. */
  setDrawnOn(isDrawnOn: boolean): void {
    this.#isDrawnOn = isDrawnOn;
  }

  dispose(): void {
    this.#sheets.set([]);
    this.map.setTarget(undefined);
    this.map.dispose();
  }
}
