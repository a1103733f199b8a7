/**
 * Pieces on sheets: which sheets, where on them, and how many.
 *
 * Each piece goes to the place where its right edge lies farthest left, on the first sheet that has
 * one; offcuts come before whole sheets. That is done in several orders and with the sheets lying
 * either way, and what needs the fewest whole sheets, then the least length of them, is kept. Outlines
 * are held apart band by band (`bands.ts`), so hollows are used and nothing ever overlaps.
 *
 * Source: bottom-left placing with decreasing order is the usual rule for cutting (Baker, Coffman and
 * Rivest 1980, for rectangles, from memory); bands in place of rectangles are ours. It is no proof of the
 * fewest sheets: `leastSheets` says how far it may be off.
 */
import { boundsMm, outsetRing, ringAreaMm2, type XyMm } from '#libs/net';
import { bandsOf, type Spans } from './bands.js';
import type { CutOptions, CutPiece, Cutting, LaidSheet, SheetKind, TooLarge } from './cutting.js';
import { freeRectangle } from './free-rectangle.js';
import { OpenSheet, type Place } from './open-sheet.js';
import { roomMm, toldTurnDeg, turnedRing, turnsOn } from './turns.js';

/** Height of a band on a sheet of usual size; larger sheets have as many bands. */
const BAND_MM = 1;
const BANDS_MAX = 1200;
/** From so many pieces on a glass the small ones fill what others leave: bands of twice the height, one order. */
const MANY = 80;

/**
 * @param kinds of one glass: its whole sheets (at most one kind, the last resort, of which any number is
 *   taken) and its offcuts
 */
export function layPieces(
  pieces: readonly CutPiece[],
  kinds: readonly SheetKind[],
  options: CutOptions,
): Cutting {
  const tooLarge = pieces.flatMap((piece) => tooLargeFor(piece, kinds, options) ?? []);
  const fitting = pieces.filter(({ piece }) => !tooLarge.some((one) => one.piece === piece));
  const banded = { ...options, bandMm: fitting.length > MANY ? 2 * BAND_MM : BAND_MM };
  const readied = new Map<string, Readied[]>();
  const tries = ORDERS.slice(0, fitting.length > MANY ? 1 : undefined).flatMap((order) =>
    [false, true].map((isAcross) =>
      laidOut([...fitting].sort(order), kinds, banded, isAcross, readied),
    ),
  );
  const best = tries.reduce((a, b) => (isBetter(b, a) ? b : a));
  const whole = kinds.find(({ isOffcut }) => !isOffcut);
  const wanted = best.filter(({ kind }) => !kind.isOffcut).length;
  return {
    sheets: best.map((one) => told(one, options)),
    tooLarge,
    unlaid: unlaidOf(fitting, best),
    missingSheets: Math.max(0, wanted - (whole?.count ?? 0)),
    leastSheets: whole === undefined ? 0 : leastOf(fitting, whole, kinds),
  };
}

export type LayPieces = typeof layPieces;

/** What a piece needs, where it fits on none of the sheets in any turn that is allowed. */
export function tooLargeFor(
  piece: CutPiece,
  kinds: readonly SheetKind[],
  { edgeMm }: Pick<CutOptions, 'edgeMm'>,
): TooLarge | undefined {
  if (kinds.some((kind) => turnsOn(piece, kind, insideMm(kind, edgeMm)).length > 0)) return;
  const kind = kinds.find(({ isOffcut }) => !isOffcut) ?? kinds[0]!;
  return { piece: piece.piece, needsMm: roomMm(piece.ringMm, toldTurnDeg(piece, kind)) };
}

function insideMm({ widthMm, heightMm }: SheetKind, edgeMm: number): XyMm {
  return [widthMm - 2 * edgeMm, heightMm - 2 * edgeMm];
}

const longest = ({ ringMm }: CutPiece) => {
  const [w, h] = roomMm(ringMm, 0);
  return Math.max(w, h);
};
const ORDERS: ((a: CutPiece, b: CutPiece) => number)[] = [
  (a, b) => ringAreaMm2(b.ringMm) - ringAreaMm2(a.ringMm),
  (a, b) => longest(b) - longest(a),
  (a, b) => roomMm(b.ringMm, 0)[1] - roomMm(a.ringMm, 0)[1],
  (a, b) => roomMm(b.ringMm, 0)[0] - roomMm(a.ringMm, 0)[0],
];

interface Banded extends CutOptions {
  readonly bandMm: number;
}

/** A piece in one turn, ready to be placed on one kind of sheet. */
interface Readied {
  readonly turnDeg: number;
  readonly ringMm: readonly XyMm[];
  readonly spans: readonly Spans[];
  /** with the gap round it */
  readonly sizeMm: XyMm;
}

interface Filled {
  readonly kind: SheetKind;
  readonly isAcross: boolean;
  readonly sheet: OpenSheet;
  readonly laid: { readonly piece: CutPiece; readonly as: Readied; readonly place: Place }[];
}

function laidOut(
  pieces: readonly CutPiece[],
  kinds: readonly SheetKind[],
  options: Banded,
  isAcross: boolean,
  readied: Map<string, Readied[]>,
): Filled[] {
  const open: Filled[] = [];
  const rest = kinds
    .filter(({ isOffcut }) => isOffcut)
    .flatMap((kind) => Array.from({ length: kind.count }, () => kind))
    .sort((a, b) => a.widthMm * a.heightMm - b.widthMm * b.heightMm);
  const whole = kinds.find(({ isOffcut }) => !isOffcut);
  const waysOf = (piece: CutPiece, kind: SheetKind) => {
    const key = `${piece.piece} ${kind.sheet} ${isAcross}`;
    let ways = readied.get(key);
    if (ways === undefined) {
      ways = turnsOn(piece, kind, insideMm(kind, options.edgeMm)).map((deg) =>
        readiedFor(piece, kind, options, isAcross, deg),
      );
      readied.set(key, ways);
    }
    return ways;
  };
  for (const piece of pieces) {
    if (open.some((filled) => put(piece, filled, waysOf(piece, filled.kind)))) continue;
    const i = rest.findIndex((kind) => waysOf(piece, kind).length > 0);
    const kind = i === -1 ? whole : rest.splice(i, 1)[0];
    if (kind === undefined) continue;
    const filled: Filled = { kind, isAcross, sheet: emptySheet(kind, options, isAcross), laid: [] };
    put(piece, filled, waysOf(piece, kind));
    open.push(filled);
  }
  return open;
}

function put(piece: CutPiece, { sheet, laid }: Filled, ways: readonly Readied[]): boolean {
  let best: { as: Readied; place: Place } | undefined;
  let before = Number.POSITIVE_INFINITY;
  for (const as of ways) {
    const place = sheet.placeFor(as.spans, as.sizeMm, before);
    if (place === undefined) continue;
    best = { as, place };
    before = place.xMm + as.sizeMm[0];
  }
  if (best === undefined) return false;
  sheet.put(best.as.spans, best.place);
  laid.push({ piece, ...best });
  return true;
}

function emptySheet(
  kind: SheetKind,
  { gapMm, edgeMm, bandMm: band }: Banded,
  isAcross: boolean,
): OpenSheet {
  const [w, h] = insideMm(kind, edgeMm - gapMm / 2);
  return isAcross ? new OpenSheet(h, w, bandMm(w, band)) : new OpenSheet(w, h, bandMm(h, band));
}

function bandMm(tallMm: number, leastMm: number): number {
  return Math.max(leastMm, tallMm / BANDS_MAX);
}

function readiedFor(
  piece: CutPiece,
  kind: SheetKind,
  options: Banded,
  isAcross: boolean,
  turnDeg: number,
): Readied {
  const turned = turnedRing(piece.ringMm, turnDeg);
  const round = options.gapMm === 0 ? turned : grown(turned, options.gapMm / 2);
  const { minX, minY, maxX, maxY } = boundsMm(round);
  const shift = ([x, y]: XyMm): XyMm => [x - minX, y - minY];
  const swap = ([x, y]: XyMm): XyMm => (isAcross ? [y, x] : [x, y]);
  const { heightMm, widthMm } = kind;
  const tall = (isAcross ? widthMm : heightMm) - 2 * options.edgeMm + options.gapMm;
  return {
    turnDeg,
    ringMm: turned.map(shift),
    spans: bandsOf(
      round.map((point) => swap(shift(point))),
      bandMm(tall, options.bandMm),
    ),
    sizeMm: swap([maxX - minX, maxY - minY]),
  };
}

function grown(ring: readonly XyMm[], byMm: number): readonly XyMm[] {
  const walk = ring.map((from, i) => ({ from, to: ring[(i + 1) % ring.length]!, byMm }));
  return outsetRing(walk).reduce((a, b) => (ringAreaMm2(b) > ringAreaMm2(a) ? b : a));
}

function unlaidOf(pieces: readonly CutPiece[], filled: readonly Filled[]): string[] {
  const laid = new Set(filled.flatMap((one) => one.laid.map(({ piece }) => piece.piece)));
  return pieces.map(({ piece }) => piece).filter((piece) => !laid.has(piece));
}

function isBetter(a: readonly Filled[], b: readonly Filled[]): boolean {
  const wholes = (all: readonly Filled[]) => all.filter(({ kind }) => !kind.isOffcut);
  const count = (all: readonly Filled[]) => all.reduce((n, { laid }) => n + laid.length, 0);
  if (count(a) !== count(b)) return count(a) > count(b);
  const [wa, wb] = [wholes(a), wholes(b)];
  if (wa.length !== wb.length) return wa.length < wb.length;
  // The last sheet counts: the earlier ones are used up anyway.
  const left = (all: readonly Filled[]) => {
    const last = all.at(-1);
    return last === undefined ? 0 : last.sheet.filledMm / last.sheet.widthMm;
  };
  return left(wa) < left(wb) - 1e-9;
}

function leastOf(pieces: readonly CutPiece[], whole: SheetKind, kinds: readonly SheetKind[]) {
  const area = pieces.reduce((sum, { ringMm }) => sum + ringAreaMm2(ringMm), 0);
  const offcuts = kinds
    .filter(({ isOffcut }) => isOffcut)
    .reduce((sum, { widthMm, heightMm, count }) => sum + widthMm * heightMm * count, 0);
  return Math.max(0, Math.ceil((area - offcuts) / (whole.widthMm * whole.heightMm) - 1e-9));
}

function told({ kind, isAcross, sheet, laid }: Filled, { gapMm, edgeMm }: CutOptions): LaidSheet {
  const { sheet: name, isOffcut, widthMm, heightMm } = kind;
  const corner = edgeMm - gapMm / 2;
  const pieces = laid.map(({ piece, as, place }) => {
    const [x, y] = [place.xMm, place.band * sheet.bandMm];
    const [dx, dy] = isAcross ? [y + corner, x + corner] : [x + corner, y + corner];
    return {
      piece: piece.piece,
      turnDeg: as.turnDeg,
      ringMm: as.ringMm.map(([px, py]): XyMm => [px + dx, py + dy]),
    };
  });
  const free = freeRectangle(sheet);
  // A strip along the sheet is half a gap nearer to the pieces than glass may be cut.
  const offcut =
    free === null
      ? null
      : isAcross
        ? {
            xMm: free.yMm + corner,
            yMm: free.xMm + corner,
            widthMm: free.heightMm,
            heightMm: free.widthMm,
          }
        : { ...free, xMm: free.xMm + corner, yMm: free.yMm + corner };
  return {
    sheet: name,
    isOffcut,
    widthMm,
    heightMm,
    pieces,
    usedMm2: laid.reduce((sum, { piece }) => sum + ringAreaMm2(piece.ringMm), 0),
    offcut,
  };
}
