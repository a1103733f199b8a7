import { useEffect, useState, useSyncExternalStore } from 'react';
import {
  type FindingTerm,
  measureFinding,
  measurePerPiece,
  measureText,
  type PieceShare,
  pieceShareText,
  type TermSign,
} from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import type { BenchMap } from '../drawing/bench-map.js';
import type { FindingBody } from '../platform/api/findings.js';
import type { Face } from '../platform/api/panels.js';
import { useKept } from '../platform/kept-value.js';
import { say } from '../platform/language/say.js';
import { sayMeasure } from '../platform/say-measure.js';
import { useSession } from '../platform/session.js';
import { today } from '../platform/today.js';
import { deskOf } from './desk-of.js';
import type { DeskState, FindingDesk } from './finding-desk.js';
import { type DraftKind, type FindingDraft, geometriesOf, isEmpty } from './finding-draft.js';
import { type AreaWay, areaWays, type HandSettings } from './sketch-tool.js';
import { type Sketching, useSketch } from './use-sketch.js';

export interface FindingHand {
  readonly term: FindingTerm | null;
  readonly kind: DraftKind;
  readonly setKind: (kind: DraftKind) => void;
  readonly hand: HandSettings;
  readonly setHand: (change: Partial<HandSettings>) => void;
  readonly said: SaidOfIt;
  readonly say: (change: Partial<SaidOfIt>) => void;
  readonly sketch: Sketching;
  /** what is drawn, in words: '61 mm, in piece 26' */
  readonly words: string;
  readonly shares: readonly PieceShare[];
  readonly canRecord: boolean;
  readonly desk: FindingDesk;
  readonly state: DeskState;
}

/** What a person says of the finding beside the drawing. */
export interface SaidOfIt {
  readonly face: Face;
  readonly note: string;
  readonly happened: string;
  /** the picture under the drawing shows it */
  readonly isShown: boolean;
}

const firstHand: HandSettings = { areaWay: 'lasso', brushMm: 8, isTaken: false, snapMm: 3 };
const noSign: TermSign = { colour: 'blue' };

/** The hand that draws findings of one term, one after the other. */
export function useFinding(
  bench: Bench,
  map: BenchMap | null,
  term: FindingTerm | null,
  pictureId: string | null,
): FindingHand {
  const { panel, net, traced } = bench;
  const { me } = useSession();
  const desk = deskOf(panel.panelId, me.personId);
  const state = useSyncExternalStore(desk.subscribe, desk.state);
  const [picked, setPicked] = useState<{ term: string; kind: DraftKind } | null>(null);
  const kind = picked && picked.term === term?.key ? picked.kind : (term?.geometries[0] ?? 'point');
  const [keptHand, setHand] = useKept('drawing hand', firstHand, isHand);
  const [isTaken, setTaken] = useState(false);
  const hand = { ...keptHand, isTaken: kind === 'area' && isTaken };
  const [said, setSaid] = useState<SaidOfIt>({
    face: net.face,
    note: '',
    happened: today(),
    isShown: true,
  });
  const record = (draft: FindingDraft) => {
    if (!term) return 'still drawn';
    const bodies = geometriesOf(draft).map(
      ({ kind: drawnAs, xyMm }): FindingBody => ({
        term: term.key,
        geometry: { kind: drawnAs, xyMm: xyMm.map(([x, y]): [number, number] => [x, y]) },
        face: said.face,
        layer: net.layer,
        ...(traced || panel.netRevision === null ? {} : { netRevision: panel.netRevision }),
        ...(said.isShown && pictureId ? { evidence: [pictureId] } : {}),
        ...(said.happened === '' ? {} : { happened: said.happened }),
        ...(said.note === '' ? {} : { note: said.note }),
      }),
    );
    setSaid((before) => ({ ...before, note: '' }));
    void desk.record(term.label, bodies).then(bench.findingsAgain);
    return 'taken';
  };
  const sketch = useSketch(map, net, term ? kind : null, term?.sign ?? noSign, hand, record);
  useEffect(() => {
    // What a closed page left on its way.
    void desk.send();
  }, [desk]);
  const geometries = geometriesOf(sketch.draft);
  const shares = geometries.flatMap((geometry) => measurePerPiece(geometry, net.pieces));
  return {
    term,
    kind,
    setKind: (next) => {
      if (term) setPicked({ term: term.key, kind: next });
    },
    hand,
    setHand: ({ isTaken: taken, ...change }) => {
      if (taken !== undefined) setTaken(taken);
      if (Object.keys(change).length > 0) setHand({ ...keptHand, ...change, isTaken: false });
    },
    said,
    say: (change) => {
      setSaid((before) => ({ ...before, ...change }));
    },
    sketch,
    words: term ? wordsOf(term, sketch.draft, shares) : '',
    shares,
    canRecord: geometries.length > 0,
    desk,
    state,
  };
}

function isHand(value: unknown): value is HandSettings {
  const { areaWay, brushMm, snapMm } = (value ?? {}) as Partial<HandSettings>;
  return (
    areaWays.includes(areaWay as AreaWay) &&
    typeof brushMm === 'number' &&
    brushMm > 0 &&
    typeof snapMm === 'number' &&
    snapMm >= 0
  );
}

/** As the archive will measure it: '11.8 cm², 18 % of the piece, in piece 31'; over several: '61 mm; 26: 40 mm; 27: 21 mm'. */
function wordsOf(term: FindingTerm, draft: FindingDraft, shares: readonly PieceShare[]): string {
  if (isEmpty(draft)) return say('nothing drawn yet');
  const geometries = geometriesOf(draft);
  const parts =
    geometries.length > 1 ? [say('{geometries} outlines', { geometries: geometries.length })] : [];
  const [first] = shares;
  const isOne = shares.length === 1;
  for (const geometry of geometries) {
    const whole = measureFinding(term, geometry);
    const text = sayMeasure(
      measureText({ ...whole, shareRatio: isOne ? (first!.shareRatio ?? null) : null }),
    );
    if (text !== '') parts.push(text);
  }
  if (geometries.length === 0) parts.push(say('too little yet'));
  if (shares.length === 0) parts.push(say('in no piece'));
  else if (isOne) parts.push(say('in piece {pieceId}', { pieceId: first!.pieceId }));
  const all = parts.join(', ');
  return isOne || shares.length === 0 ? all : `${all}; ${shares.map(pieceShareText).join('; ')}`;
}
