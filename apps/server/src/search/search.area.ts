/** What lies within an area that somebody drew on a panel or over a window. */
import { Inject, Injectable } from '@nestjs/common';
import { searchKey, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import {
  boundsMm,
  intersectRings,
  isInsideRing,
  pointsOfFlat,
  ringAreaMm2,
  type XyMm,
} from '#libs/net';
import { Problem } from '#libs/problem';
import { POOL } from '../platform/tokens.js';
import type { MarkedPlace } from '../sites/marks.reader.js';

export interface AreaHits {
  readonly siteId: string;
  /** keys of all panels that the area touches */
  readonly aroundKeys: readonly string[];
  /** keys of panels that lie in it wholly: what is about the panel counts too */
  readonly wholeKeys: readonly string[];
  /** keys of pieces that it touches */
  readonly pieceKeys: readonly string[];
  /** findings whose own geometry it touches */
  readonly findingIds: readonly string[];
}

interface PanelRow {
  panelId: string;
  mark: string;
  ringMm: number[];
}

const POINTS_MAX = 500;

/** Corners as they come: `x,y x,y x,y`. @throws {Problem} `geometry-invalid` */
export function readArea(text: string): XyMm[] {
  const pairs = text
    .trim()
    .split(/\s+/)
    .map((pair) => pair.split(',').map(Number));
  const isGood = pairs.every(
    (pair) => pair.length === 2 && pair.every((one) => Number.isFinite(one) && Math.abs(one) < 1e6),
  );
  if (isGood && pairs.length >= 3 && pairs.length <= POINTS_MAX) {
    const points = pairs.map(([x, y]): XyMm => [x!, y!]);
    if (Math.abs(ringAreaMm2(points)) >= 1) return points;
  }
  throw new Problem(
    'geometry-invalid',
    `area: write 3 to ${POINTS_MAX} corners in mm that enclose at least 1 mm², as 0,0 200,0 200,150.`,
    { field: 'area' },
  );
}

@Injectable()
export class SearchArea {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  /**
   * @param place a panel (corners in its own frame) or a window (in the window's frame)
   * @throws {Problem} `geometry-invalid`
   */
  async within(place: MarkedPlace, corners: readonly XyMm[]): Promise<AreaHits> {
    const { siteId, windowId, panelId, fullMark } = place;
    if (
      windowId === null ||
      (panelId === null && place.kind !== 'window') ||
      place.pieceId !== null
    ) {
      throw new Problem(
        'geometry-invalid',
        'in: name the panel or the window that the area is drawn on.',
        {
          field: 'in',
        },
      );
    }
    const windowMark = fullMark.split('.').slice(0, 2).join('.');
    const panels = await this.#tx.query<PanelRow>(
      `SELECT panel_id, mark, ring_mm FROM panel
       WHERE window_id = $1 AND ($2::uuid IS NULL OR panel_id = $2) AND NOT retired ORDER BY sort_key`,
      [windowId, panelId],
    );
    const hits = {
      siteId,
      aroundKeys: [] as string[],
      wholeKeys: [] as string[],
      pieceKeys: [] as string[],
      findingIds: [] as string[],
    };
    for (const panel of panels) {
      const mark = `${windowMark}.${panel.mark}`;
      const inOwnFrame = panelId !== null;
      const ring = pointsOfFlat(panel.ringMm);
      if (!inOwnFrame && !isTouched(corners, ring)) continue;
      hits.aroundKeys.push(searchKey('mark', mark));
      if (!inOwnFrame && ring.every((point) => isInsideRing(point, corners))) {
        hits.wholeKeys.push(searchKey('mark', mark));
      } else await this.#inPanel(panel, mark, corners, inOwnFrame, hits);
    }
    return hits;
  }

  async #inPanel(
    { panelId, ringMm }: PanelRow,
    mark: string,
    corners: readonly XyMm[],
    inOwnFrame: boolean,
    hits: { pieceKeys: string[]; findingIds: string[] },
  ): Promise<void> {
    const pieces = await this.#tx.query<{ mark: string; ringMm: number[] }>(
      'SELECT mark, ring_mm FROM piece WHERE panel_id = $1 AND NOT retired',
      [panelId],
    );
    const rings = pieces.map((piece) => ({ mark: piece.mark, ring: pointsOfFlat(piece.ringMm) }));
    const area = inOwnFrame
      ? corners
      : shifted(
          corners,
          ringMm,
          rings.flatMap(({ ring }) => ring),
        );
    for (const { mark: piece, ring } of rings) {
      if (isTouched(area, ring)) hits.pieceKeys.push(searchKey('mark', `${mark}.${piece}`));
    }
    const findings = await this.#tx.query<{ findingId: string; geometry: { xyMm: XyMm[] } }>(
      `SELECT finding_id, geometry FROM finding WHERE panel_id = $1 AND state = 'recorded'`,
      [panelId],
    );
    for (const { findingId, geometry } of findings) {
      if (isTouchedByShape(area, geometry.xyMm)) hits.findingIds.push(findingId);
    }
  }
}

/** The window says where the middle of a panel hangs; the panel's own frame is that of its pieces. */
function shifted(corners: readonly XyMm[], panelRing: number[], drawn: readonly XyMm[]): XyMm[] {
  if (drawn.length === 0) return [...corners];
  const hung = boundsMm(pointsOfFlat(panelRing));
  const own = boundsMm(drawn);
  const dx = (own.minX + own.maxX - hung.minX - hung.maxX) / 2;
  const dy = (own.minY + own.maxY - hung.minY - hung.maxY) / 2;
  return corners.map(([x, y]): XyMm => [x + dx, y + dy]);
}

function isTouched(area: readonly XyMm[], ring: readonly XyMm[]): boolean {
  if (ring.length < 3) return false;
  if (ring.some((point) => isInsideRing(point, area))) return true;
  return intersectRings([area], [ring]).length > 0;
}

/** Points, lines and areas alike: a corner within, or an edge that crosses, or the area within it. */
function isTouchedByShape(area: readonly XyMm[], shape: readonly XyMm[]): boolean {
  if (shape.some((point) => isInsideRing(point, area))) return true;
  for (let i = 1; i < shape.length; i++) {
    for (let k = 0; k < area.length; k++) {
      if (doCross(shape[i - 1]!, shape[i]!, area[k]!, area[(k + 1) % area.length]!)) return true;
    }
  }
  return shape.length > 2 && isInsideRing(area[0]!, shape);
}

function doCross(a: XyMm, b: XyMm, c: XyMm, d: XyMm): boolean {
  const side = (p: XyMm, q: XyMm, r: XyMm) =>
    Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]));
  return side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b);
}
