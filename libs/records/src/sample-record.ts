/** A record of the invented Sallowmere Chapel, for tests of HTML and PDF. */
import { buildNet, isInsideRing, lozengeSketch, type Net, type XyMm } from '#libs/net';
import { type FindingGeometry, findingTerm, measureFinding } from '#libs/vocabulary';
import {
  blankConditionRecord,
  blankTreatmentRecord,
  type ConditionRecord,
  type Observation,
  type RecordSubject,
  type RecordVersion,
  type TreatmentRecord,
} from './record.js';

const MARK = 'SLM.sII.2b';

/** Panel of 3 × 3 lozenges, 280 × 370 mm over its outer leads. */
export function sampleNet(): Net {
  return buildNet(
    lozengeSketch({
      columns: 3,
      rows: 3,
      widthMm: 90,
      heightMm: 120,
      faceWidthMm: 6,
      outerFaceMm: 10,
    }),
    { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'sample', version: '1' } },
  );
}

const SUBJECT: RecordSubject = {
  mark: MARK,
  scheme: 'church',
  kind: 'panel',
  siteName: 'Sallowmere Chapel',
  title: 'Two ferrymen <second row>',
  aliases: [{ scheme: 'survey of 1931', text: 'S2/4', source: 'survey notebook' }],
};

const VERSION: RecordVersion = {
  format: 'mullion-record/1',
  version: '10482',
  supersedes: null,
  recordedAt: '2026-03-04T16:20:11Z',
  ledger: {
    origin: 'sallowmere.example/slm',
    entrySeq: 10482,
    treeSize: 10483,
    rootHash: 'XcnadKeaZZ+a1VnLcB3tmiqwI4KtL0lg/jYO/vRgQyg=',
    fingerprint: '5dc9-da79-a706-59a9',
  },
};

export function sampleObservation(
  number: number,
  term: string,
  inPanel: string | null,
  geometry: FindingGeometry,
): Observation {
  const piece = sampleNet().pieces.find((one) => one.pieceId === inPanel);
  return {
    number,
    term,
    panelMark: MARK,
    inPanel,
    geometry,
    measure: measureFinding(findingTerm(term)!, geometry, piece?.sightRingsMm),
    face: 'inside',
    layer: 'front',
    observer: { name: 'Surveyor', role: 'Surveyor' },
    happened: '2026-03-04',
    evidence: [],
    note: null,
    entrySeq: 10400 + number,
  };
}

/** The piece at a place of the sample panel. */
function pieceAt(net: Net, place: XyMm): string {
  return net.pieces.find((piece) => isInsideRing(place, piece.centreRingMm))!.pieceId;
}

/** A crack through one lozenge, a paint loss of 30 × 20 mm on the next, a cracked joint. */
export function sampleConditionRecord(): ConditionRecord {
  const net = sampleNet();
  const crack: XyMm[] = [
    [45, 20],
    [60, 60],
    [50, 100],
  ];
  const loss: XyMm[] = [
    [120, 50],
    [150, 50],
    [150, 70],
    [120, 70],
  ];
  return {
    ...blankConditionRecord(SUBJECT, VERSION),
    keeper: 'Chapel trustees',
    dimensions: [
      { name: 'panel size', widthMm: 280, heightMm: 370, source: 'measured', note: null },
    ],
    observations: [
      sampleObservation(1, 'glass.crack.simple', pieceAt(net, [45, 60]), {
        kind: 'line',
        xyMm: crack,
      }),
      sampleObservation(2, 'paint.loss', pieceAt(net, [135, 60]), { kind: 'area', xyMm: loss }),
      sampleObservation(3, 'solder.crack', null, { kind: 'point', xyMm: [net.joints[5]!.xyMm] }),
    ],
    conditionClass: { value: 2, reasons: [{ text: 'A crack runs through', observations: [1] }] },
    urgency: { value: 1, reasons: [] },
    recommendation: { value: 2, text: 'bond in place' },
    cautions: ['lead-dust', 'untested-paint'],
    images: [
      {
        fileName: 'slm.s2.2b-transmitted.jpg',
        digest: `sha256:${'ab'.repeat(32)}`,
        light: 'transmitted',
        face: 'inside',
        stage: 'before',
        happened: '2026-03-04',
        scale: null,
      },
    ],
    drawings: [
      { mark: MARK, net, outlineMm: null, revision: 3, isSigned: true, focusPieceId: null },
    ],
    observer: { name: 'Surveyor', role: 'Surveyor' },
    happened: '2026-03-04',
    place: 'on the scaffold',
  };
}

/** One bond and one operation that asks for a caution. */
export function sampleTreatmentRecord(): TreatmentRecord {
  const step = {
    material: null,
    batch: null,
    detail: null,
    by: { name: 'Glazier', role: 'Glazier' },
    happened: '2026-06-04',
    images: [],
    evidence: null,
    note: null,
    entrySeq: null,
  };
  return {
    ...blankTreatmentRecord(SUBJECT, VERSION),
    startedFrom: { version: '10482', digest: null },
    steps: [
      {
        ...step,
        number: 1,
        operation: 'bond.epoxy',
        subjects: ['14'],
        material: 'epoxy resin',
        batch: 'E-104',
      },
      { ...step, number: 2, operation: 'relead.part', subjects: ['L7', 'L8'] },
    ],
    departures: [],
  };
}
