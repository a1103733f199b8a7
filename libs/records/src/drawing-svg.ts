/** A panel's drawing with its findings at a scale that fits: SVG for HTML, plan for PDF. */
import { boundsMm, type Net, type XyMm } from '#libs/net';
import { areaPatternSvg, findingSvg, findingTerm } from '#libs/vocabulary';
import { PointBins } from './point-bins.js';
import type { Observation, RecordDrawing } from './record.js';

/** Where a drawing is looked at, and how the finding numbers stand. */
export interface DrawingPlan {
  /** Part shown, panel mm. */
  readonly leftMm: number;
  readonly topMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Numbers of observations: disc of `radiusMm` (panel mm at the plan's scale) and what it is at. */
  readonly tags: readonly {
    readonly number: number;
    readonly atMm: XyMm;
    readonly toMm: XyMm;
  }[];
  readonly scaleBarMm: number;
}

/** Round scales of print, finest first. */
const SCALES = [
  1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 125, 150, 200, 250, 500,
] as const;

/** The finest round scale 1:n at which the part shown fits a room on paper. */
export function fittingScale(
  part: Pick<PartShown, 'widthMm' | 'heightMm'>,
  roomMm: readonly [width: number, height: number],
): number {
  const need = Math.max(part.widthMm / roomMm[0], part.heightMm / roomMm[1]);
  return SCALES.find((scale) => scale >= need) ?? Math.ceil(need);
}

/** Of a tag where the scale is still open, in panel mm: only the margin hangs on it. */
export const ROUGH_TAG_MM = 8;

type PartShown = Pick<DrawingPlan, 'leftMm' | 'topMm' | 'widthMm' | 'heightMm'>;

/**
 * What to show: the panel with a margin for tags, or the surroundings of the piece in focus.
 *
 * @param tagMm diameter of a number's disc, in panel mm at the scale it will be drawn at
 */
export function partShown(drawing: RecordDrawing, tagMm: number): PartShown {
  const outline = drawing.net?.outlineMm ?? drawing.outlineMm ?? [];
  const focus = drawing.net?.pieces.find((piece) => piece.pieceId === drawing.focusPieceId);
  const box = boundsMm(focus?.centreRingMm ?? outline);
  const margin =
    focus === undefined
      ? tagMm * 1.4
      : Math.max(25, 0.35 * Math.max(box.maxX - box.minX, box.maxY - box.minY));
  return {
    leftMm: box.minX - margin,
    topMm: box.minY - margin,
    widthMm: box.maxX - box.minX + 2 * margin,
    heightMm: box.maxY - box.minY + 2 * margin,
  };
}

/** The part shown with its scale bar, and where the numbers of the findings stand; `tagMm` as above. */
export function planDrawing(
  drawing: RecordDrawing,
  observations: readonly Observation[],
  tagMm: number,
): DrawingPlan {
  const shown = partShown(drawing, tagMm);
  const longest = shown.widthMm / 2;
  const scaleBarMm = [1000, 500, 200, 100, 50, 20, 10].find((mm) => mm <= longest) ?? 10;
  return { ...shown, scaleBarMm, tags: placeTags(observations, shown, tagMm) };
}

/** In diameters of a tag: nearer than so a tag crowds another, and hides a point of a finding. */
const ROOM = 1.25;
const HIDES = 0.7;

/** Each tag beside its finding, moved apart from tags already set and kept inside the part shown. */
function placeTags(
  observations: readonly Observation[],
  { leftMm, topMm, widthMm, heightMm }: PartShown,
  tagMm: number,
): DrawingPlan['tags'] {
  const set: { number: number; atMm: XyMm; toMm: XyMm }[] = [];
  const isInside = ([x, y]: XyMm) =>
    x > leftMm + tagMm / 2 &&
    x < leftMm + widthMm - tagMm / 2 &&
    y > topMm + tagMm / 2 &&
    y < topMm + heightMm - tagMm / 2;
  const tags = new PointBins(ROOM * tagMm);
  const points = new PointBins(HIDES * tagMm);
  for (const { geometry } of observations) {
    for (const point of geometry?.xyMm ?? []) points.add(point);
  }
  for (const { number, geometry } of observations) {
    if (geometry === null) continue;
    const box = boundsMm(geometry.xyMm);
    const middle: XyMm = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
    const anchor = geometry.xyMm.reduce((a, b) =>
      Math.hypot(b[0] - middle[0], b[1] - middle[1]) <
      Math.hypot(a[0] - middle[0], a[1] - middle[1])
        ? b
        : a,
    );
    const toMm = geometry.kind === 'area' ? middle : anchor;
    let best: XyMm = toMm;
    let least = Infinity;
    for (let ring = 1; ring <= 5; ring++) {
      for (let step = 0; step < 16; step++) {
        const angle = (2 * Math.PI * (step + 0.5)) / 16 - Math.PI / 2;
        const reach = tagMm * (0.55 + 0.6 * ring);
        const at: XyMm = [toMm[0] + reach * Math.cos(angle), toMm[1] + reach * Math.sin(angle)];
        if (!isInside(at)) continue;
        const crowd = tags
          .distancesMm(at, ROOM * tagMm)
          .reduce((sum, distance) => sum + ROOM * tagMm - distance, 0);
        const uncovered = 10 * crowd + reach;
        if (uncovered >= least) continue;
        const cost = uncovered + tagMm * points.distancesMm(at, HIDES * tagMm).length;
        if (cost < least) {
          least = cost;
          best = at;
        }
      }
    }
    set.push({ number, atMm: best, toMm });
    tags.add(best);
  }
  return set;
}

/** Width of the paper that the SVG is drawn for. */
const PAGE_WIDTH_MM = 170;
const PAGE_HEIGHT_MM = 205;

/** A stand-alone SVG at a round scale; its size is in paper millimetres. */
export function drawingSvg(
  drawing: RecordDrawing,
  observations: readonly Observation[],
  idPrefix: string,
): { svg: string; scale: number } {
  const rough = partShown(drawing, ROUGH_TAG_MM);
  const scale = fittingScale(rough, [PAGE_WIDTH_MM, PAGE_HEIGHT_MM]);
  const tagMm = 5 * scale;
  const plan = planDrawing(drawing, observations, tagMm);
  const { leftMm, topMm, widthMm, heightMm } = plan;
  const foot = 9 * scale;
  const terms = [
    ...new Map(observations.map((one) => [one.term, findingTerm(one.term)])).values(),
  ].filter((term) => term !== undefined);
  // Hatches keep their size on paper: patterns are scaled up to the drawing's millimetres.
  const patterns = terms
    .map((term) =>
      areaPatternSvg(term, idPrefix).replace(
        'patternUnits=',
        `patternTransform="scale(${scale})" patternUnits=`,
      ),
    )
    .join('');
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${escapeXml(drawing.mark)}, drawing with findings" width="${num(widthMm / scale)}mm" height="${num((heightMm + foot) / scale)}mm" viewBox="${num(leftMm)} ${num(topMm)} ${num(widthMm)} ${num(heightMm + foot)}">`,
    `<defs>${patterns}<clipPath id="${idPrefix}clip"><rect x="${num(leftMm)}" y="${num(topMm)}" width="${num(widthMm)}" height="${num(heightMm)}"/></clipPath></defs>`,
    `<g clip-path="url(#${idPrefix}clip)">`,
    ...(drawing.net === null
      ? [
          `<path d="${path(drawing.outlineMm ?? [])}Z" fill="#fff" stroke="#2a2723" stroke-width="${num(0.5 * scale)}"/>`,
        ]
      : [netGroup(drawing.net, drawing.focusPieceId, scale)]),
    ...observations.flatMap(({ term, geometry }) => {
      const known = findingTerm(term);
      if (known === undefined || geometry === null) return [];
      const small = geometry.xyMm.map(([x, y]): XyMm => [x / scale, y / scale]);
      const drawn = findingSvg(known, geometry.kind, small, idPrefix);
      // The pattern is already scaled: areas must not scale it a second time.
      return geometry.kind === 'area'
        ? [
            findingSvg(known, 'area', geometry.xyMm, idPrefix).replace(
              'stroke-width=".4"',
              `stroke-width="${num(0.4 * scale)}"`,
            ),
          ]
        : [`<g transform="scale(${scale})">${drawn}</g>`];
    }),
    '</g>',
    ...plan.tags.map(({ number, atMm: [x, y], toMm }) =>
      [
        `<path d="M${num(x)} ${num(y)}L${num(toMm[0])} ${num(toMm[1])}" stroke="#1d1b18" stroke-width="${num(0.2 * scale)}"/>`,
        `<circle cx="${num(x)}" cy="${num(y)}" r="${num(tagMm / 2)}" fill="#fff" stroke="#1d1b18" stroke-width="${num(0.25 * scale)}"/>`,
        `<text x="${num(x)}" y="${num(y)}" font-size="${num(3.1 * scale)}" font-weight="700" text-anchor="middle" dominant-baseline="central">${number}</text>`,
      ].join(''),
    ),
    scaleBar(plan, scale),
    '</svg>',
  ].join('');
  return { svg, scale };
}

function netGroup(net: Net, focusPieceId: string | null, scale: number): string {
  const focus = net.pieces.find((piece) => piece.pieceId === focusPieceId);
  return [
    `<path d="${path(net.outlineMm)}Z" fill="#cfcac0" stroke="#2a2723" stroke-width="${num(0.2 * scale)}"/>`,
    ...net.pieces.map(
      (piece) =>
        `<path d="${piece.sightRingsMm.map((ring) => `${path(ring)}Z`).join('')}" fill="#fff" fill-rule="evenodd" stroke="#2a2723" stroke-width="${num(0.15 * scale)}"/>`,
    ),
    ...(focus === undefined
      ? []
      : focus.sightRingsMm.map(
          (ring) =>
            `<path d="${path(ring)}Z" fill="none" stroke="#a8720c" stroke-width="${num(0.8 * scale)}"/>`,
        )),
    ...net.pieces
      .filter((piece) => piece.labelRadiusMm > 1.4 * scale)
      .map(
        ({ pieceId, labelMm: [x, y] }) =>
          `<text x="${num(x)}" y="${num(y)}" font-size="${num(2.6 * scale)}" fill="#6b6459" text-anchor="middle" dominant-baseline="central">${pieceId}</text>`,
      ),
  ].join('');
}

function scaleBar(
  { leftMm, topMm, heightMm, scaleBarMm, widthMm }: DrawingPlan,
  scale: number,
): string {
  const x = leftMm;
  const y = topMm + heightMm + 2 * scale;
  const part = scaleBarMm / 5;
  const size = num(2.8 * scale);
  return [
    `<rect x="${num(x)}" y="${num(y)}" width="${scaleBarMm}" height="${num(1.4 * scale)}" fill="none" stroke="#1d1b18" stroke-width="${num(0.15 * scale)}"/>`,
    ...[0, 2, 4].map(
      (i) =>
        `<rect x="${num(x + i * part)}" y="${num(y)}" width="${num(part)}" height="${num(1.4 * scale)}" fill="#1d1b18"/>`,
    ),
    `<text x="${num(x)}" y="${num(y + 4.8 * scale)}" font-size="${size}">0</text>`,
    `<text x="${num(x + scaleBarMm)}" y="${num(y + 4.8 * scale)}" font-size="${size}" text-anchor="end">${scaleBarMm} mm</text>`,
    `<text x="${num(x + widthMm)}" y="${num(y + 4.8 * scale)}" font-size="${size}" text-anchor="end">1 : ${scale} printed at 100 %</text>`,
  ].join('');
}

function path(points: readonly XyMm[]): string {
  return points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${num(x)} ${num(y)}`).join('');
}

function num(value: number): string {
  return String(Math.round(value * 100) / 100 + 0);
}

function escapeXml(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
}
