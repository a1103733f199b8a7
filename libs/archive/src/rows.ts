/**
 * Rows of the projections in camelCase, as {@link Tx} and Prisma both read them.
 * `Count` is a version, sequence or size: number from pg, bigint from Prisma.
 */
export type Count = number | bigint;

export interface SiteRow {
  siteId: string;
  code: string;
  unit: string | null;
  name: string;
  scheme: string;
  place: string | null;
  version: Count;
  addedAt: Date;
}

export interface WindowRow {
  siteId: string;
  windowId: string;
  mark: string;
  sortKey: string;
  title: string;
  drawing: unknown;
  version: Count;
}

export interface PanelRow {
  siteId: string;
  panelId: string;
  windowId: string;
  mark: string;
  sortKey: string;
  ringMm: number[];
  sizes: unknown;
  workState: string;
  shows: string | null;
  netRevision: number | null;
  signedRevision: number | null;
  retired: boolean;
  version: Count;
}

export interface PieceRow {
  siteId: string;
  pieceId: string;
  panelId: string;
  mark: string;
  sortKey: string;
  provisional: boolean;
  ringMm: number[];
  areaMm2: number;
  shows: string | null;
  glass: string | null;
  carriedTo: string | null;
  retired: boolean;
  version: Count;
}

export interface AliasRow {
  siteId: string;
  aliasId: string;
  mark: string;
  scheme: string;
  text: string;
  source: string;
}

export interface MediaRow {
  siteId: string;
  mediaId: string;
  digest: string;
  fileName: string;
  contentType: string;
  sizeBytes: Count;
  widthPx: number | null;
  heightPx: number | null;
  kind: string;
  light: unknown;
  stage: string;
  face: string | null;
  layer: string | null;
  subjects: string[];
  author: string | null;
  happened: string | null;
  note: string | null;
  exif: unknown;
  asReceived: boolean;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface RubbingRow {
  siteId: string;
  rubbingId: string;
  panelId: string;
  conditions: unknown;
  sheet: unknown;
  happened: string | null;
  recordedAt: Date;
}

export interface NetRevisionRow {
  siteId: string;
  panelId: string;
  revision: number;
  rubbingId: string | null;
  mediaId: string | null;
  objectDigest: string;
  face: string;
  layer: string;
  surface: string;
  madeBy: string;
  mediaIds: string[];
  note: string | null;
  change: string | null;
  /** {@link NetReading} */
  reading: unknown;
  summary: unknown;
  recordedBy: string;
  signedAt: Date | null;
  signedBy: string | null;
  signedDoubts: number | null;
  recordedAt: Date;
}

/** The reading of a sheet that a revision goes back to. */
export interface NetReading {
  /** revision that the machine read */
  revision: number;
  netDigest: string;
  /** the sheet seen square-on; `imageFromPanel`: panel mm → its px, 3 × 3 row by row */
  rectified: {
    digest: string;
    widthPx: number;
    heightPx: number;
    imageFromPanel: number[];
  } | null;
}

export interface LensCalibrationRow {
  siteId: string;
  calibrationId: string;
  mediaId: string;
  camera: string;
  focalLengthMm: number;
  widthPx: number;
  heightPx: number;
  k1: number;
  k2: number;
  sigmaK1: number;
  tags: number;
  rmsPx: number;
  reach: number;
  recordedAt: Date;
  version: Count;
}

export interface PlacementRow {
  siteId: string;
  panelId: string;
  mediaId: string;
  imageFromPanel: number[];
  points: unknown;
  rmsMm: number;
  source: string;
  version: Count;
}

export interface FindingRow {
  siteId: string;
  findingId: string;
  panelId: string;
  inPanel: string | null;
  term: string;
  geometry: unknown;
  measure: unknown;
  face: string;
  layer: string;
  netRevision: number | null;
  evidence: string[];
  authorId: string;
  happened: string | null;
  note: string | null;
  state: string;
  supersededBy: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface InterventionRow {
  siteId: string;
  interventionId: string;
  subjects: string[];
  operation: string;
  material: string | null;
  detail: unknown;
  byRole: string | null;
  byText: string | null;
  happened: string | null;
  images: string[];
  note: string | null;
  evidence: string | null;
  state: string;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
  campaignId: string | null;
  /** the consent that it was held against */
  consentId: string | null;
  /** {@link UsedMaterial} each */
  materials: unknown;
  /** why, where an operation asks for a stated reason */
  reason: string | null;
  /** somebody with an account who did it */
  workerId: string | null;
}

/** One programme of work on a site, from survey to dossier. */
export interface CampaignRow {
  siteId: string;
  campaignId: string;
  title: string;
  /** full marks of windows and panels */
  scope: string[];
  people: unknown;
  note: string | null;
  began: string;
  state: 'open' | 'closed';
  closed: string | null;
  closing: unknown;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** What is proposed: a row an issue. */
export interface ProposalRow {
  siteId: string;
  issueId: string;
  proposalId: string;
  issue: number;
  campaignId: string;
  title: string;
  lines: unknown;
  digest: string;
  note: string | null;
  state: 'draft' | 'sent' | 'consented' | 'refused' | 'superseded';
  writtenBy: string;
  sentBy: string | null;
  sentHow: string | null;
  sentTo: string | null;
  sent: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface ConsentRow {
  siteId: string;
  consentId: string;
  campaignId: string;
  proposalId: string;
  issue: number;
  digest: string;
  decision: 'given' | 'refused';
  how: 'program' | 'letter';
  byPersonId: string | null;
  byText: string | null;
  forWhom: string | null;
  happened: string;
  expires: string | null;
  mediaId: string | null;
  lineNumbers: number[];
  conditions: unknown;
  isOnePerson: boolean;
  note: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** A batch of the studio's materials. */
export interface MaterialRow {
  materialId: string;
  name: string;
  maker: string | null;
  batch: string | null;
  expires: string | null;
  unit: string;
  /** decimal text: what came in, with what counts added or took away */
  quantity: string;
  kept: string | null;
  note: string | null;
  state: 'in-use' | 'retired';
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** What sheet of glass a batch of the register is. */
export interface GlassSheetRow {
  materialId: string;
  glass: string;
  colour: string;
  thicknessMm: number;
  widthMm: number;
  heightMm: number;
  grain: 'along-height' | 'along-width' | 'none';
  /** the batch that it is left of */
  offcutOf: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** What a batch costs. */
export interface MaterialPriceRow {
  materialId: string;
  currency: string;
  /** decimal text */
  price: string;
  per: 'unit' | 'm2';
  fits: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** The glass that was chosen for a piece of new work. */
export interface GlassChoiceRow {
  siteId: string;
  pieceId: string;
  panelId: string;
  materialId: string;
  sheet: unknown;
  grainDeg: number | null;
  held: unknown;
  state: 'chosen' | 'taken-back' | 'cut';
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface MaterialUseRow {
  siteId: string;
  interventionId: string;
  number: number;
  materialId: string;
  quantity: string;
}

/** Time that work took. */
export interface WorkTimeRow {
  siteId: string;
  workTimeId: string;
  campaignId: string;
  interventionId: string | null;
  personId: string;
  task: string;
  minutes: number;
  happened: string;
  note: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** A person's name under a version of a panel's treatment record. */
export interface TreatmentSignatureRow {
  siteId: string;
  signatureId: string;
  panelId: string;
  recordVersion: string;
  digest: string;
  sizeBytes: Count;
  signedBy: string;
  qualification: string | null;
  happened: string;
  note: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** What a campaign will take, as the studio reckoned it. */
export interface BackgroundRow {
  siteId: string;
  /** in full and canonical */
  mark: string;
  said: unknown;
  saidBy: string;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface EstimateRow {
  siteId: string;
  estimateId: string;
  campaignId: string;
  title: string;
  stage: 'first' | 'second';
  terms: unknown;
  alternatives: unknown;
  chosen: number;
  writtenBy: string;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface DossierRow {
  siteId: string;
  dossierId: string;
  subject: string;
  kind: string;
  jobId: string | null;
  digest: string | null;
  sizeBytes: Count | null;
  askedBy: string;
  askedAt: Date;
  madeAt: Date | null;
  problem: string | null;
}

export interface PersonRow {
  personId: string;
  /** unique; once erased a text that no login can be */
  login: string;
  displayName: string;
  disabled: boolean;
  createdAt: Date;
  erasedAt: Date | null;
}

/** Where somebody's name stands in the rows that people read. */
export interface NamePlaceRow {
  siteId: string;
  kind: string;
  rowId: string;
  field: string;
  subjectId: string;
}

/** What is left of an object whose bytes were destroyed on request. */
export interface WithdrawnObjectRow {
  digest: string;
  siteId: string;
  mediaId: string;
  sizeBytes: Count;
  role: string;
  logId: string;
  seq: Count;
  at: Date;
  reason: string;
  askedBy: string | null;
  /** null: the bytes may still be there */
  destroyedAt: Date | null;
}

/** What one person said of a panel's condition on one day. */
export interface ConditionRow {
  siteId: string;
  conditionId: string;
  panelId: string;
  /** '0' to '3', 'not-inspected', 'not-accessible' */
  conditionClass: string;
  reason: string;
  observerId: string;
  happened: string;
  state: 'recorded' | 'withdrawn';
  /** the entry that withdrew it */
  withdrawnSeq: Count | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
  /** the visit in which it was said; null: said by itself */
  surveyId: string | null;
  urgency: number | null;
  recommendation: number | null;
}

/** One visit to one window. */
export interface SurveyRow {
  siteId: string;
  surveyId: string;
  windowId: string;
  said: unknown;
  panels: unknown;
  nextInspection: string | null;
  observerId: string;
  happened: string;
  state: 'recorded' | 'withdrawn';
  withdrawnSeq: Count | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** A test made before work is proposed. */
export interface TestRow {
  siteId: string;
  testId: string;
  subject: string;
  kind: string;
  place: string;
  /** in the panel's frame; null: said in words only */
  atXMm: number | null;
  atYMm: number | null;
  method: string;
  byRole: string | null;
  sample: string | null;
  images: string[];
  happened: string;
  /** null: the result is awaited */
  outcome: string | null;
  result: string | null;
  knownOn: string | null;
  evidence: string[];
  testerId: string;
  state: 'recorded' | 'withdrawn';
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** Readings of how far a panel stands out of its plane. */
export interface DeflectionRow {
  siteId: string;
  deflectionId: string;
  panelId: string;
  datum: string;
  face: string;
  noiseMm: number;
  /** [x, y, out] in mm */
  readings: unknown;
  figures: unknown;
  note: string | null;
  observerId: string;
  happened: string;
  state: 'recorded' | 'withdrawn';
  withdrawnSeq: Count | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** What the worker was asked about the shards of a piece. */
export interface AssemblyRow {
  siteId: string;
  assemblyId: string;
  panelId: string;
  piece: string;
  netRevision: number | null;
  asked: unknown;
  jobId: string;
  /** null: not found yet */
  proposalDigest: string | null;
  askedBy: string;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** How the shards of a piece lie together, as a person keeps it. */
export interface JoiningRow {
  siteId: string;
  joiningId: string;
  panelId: string;
  piece: string;
  assemblyId: string;
  laid: unknown;
  apart: unknown;
  gapMm: number;
  joints: unknown;
  jointMm: number;
  missing: unknown;
  missingMm2: number;
  coverageRatio: number | null;
  note: string | null;
  keptBy: string;
  happened: string | null;
  state: 'recorded' | 'superseded' | 'withdrawn';
  withdrawnSeq: Count | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** What one panel is made of, from which its weight is reckoned. */
export interface PanelMaterialsRow {
  siteId: string;
  panelId: string;
  said: unknown;
  happened: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** How one piece is made, as it was said last. */
export interface PieceTechniqueRow {
  siteId: string;
  pieceId: string;
  panelId: string;
  said: unknown;
  happened: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** Something done out of order, or not as agreed. */
export interface FlagRow {
  siteId: string;
  flagId: string;
  campaignId: string | null;
  kind: string;
  subject: string;
  /** values of the kind's sentence */
  said: unknown;
  state: 'open' | 'answered';
  raisedBy: string;
  raisedSeq: Count;
  raisedAt: Date;
  answer: string | null;
  answeredBy: string | null;
  answeredSeq: Count | null;
  answeredAt: Date | null;
  version: Count;
}

/** What panels and pieces travel and lie in. */
export interface CrateRow {
  siteId: string;
  crateId: string;
  mark: string;
  slots: number;
  limits: unknown;
  note: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** A change of place or of hands. */
export interface MovementRow {
  siteId: string;
  movementId: string;
  /** keys of libs/custody */
  things: string[];
  crates: string[];
  fromCrateId: string | null;
  /** At of libs/custody */
  toPlace: unknown;
  /** {thing: slot} */
  slots: unknown;
  holderName: string | null;
  why: string | null;
  temporary: boolean;
  expectedReturn: string | null;
  happened: string | null;
  state: 'recorded' | 'withdrawn';
  /** the entry that withdrew it */
  withdrawnSeq: Count | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** One side of a change of hands. */
export interface HandoverRow {
  siteId: string;
  handoverId: string;
  movementId: string;
  side: 'sender' | 'receiver';
  byPerson: string;
  byRole: string | null;
  byName: string | null;
  paper: string | null;
  seen: unknown;
  unpackedTo: unknown;
  note: string | null;
  happened: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

/** A step between a panel's opening and its return. */
export interface WorkStepRow {
  siteId: string;
  stepId: string;
  windowId: string;
  panelId: string | null;
  /** full marks that it was about */
  marks: string[];
  kind: string;
  detail: unknown;
  images: string[];
  byPerson: string;
  happened: string | null;
  entrySeq: Count;
  recordedAt: Date;
  version: Count;
}

export interface DeviceRow {
  deviceId: string;
  personId: string;
  name: string;
  siteId: string | null;
  role: string;
  pairedAt: Date;
  endedAt: Date | null;
  version: Count;
}

export interface RoleGrantRow {
  grantId: string;
  siteId: string | null;
  personId: string;
  role: string;
  /** the entry that gave it */
  logId: string;
  entrySeq: Count;
}

export interface SearchRowRow {
  siteId: string;
  rowId: string;
  kind: string;
  subject: string;
  windowMark: string | null;
  stage: string | null;
  happened: string | null;
  happenedFrom: string | null;
  earliest: string | null;
  latest: string | null;
  happenedSure: boolean;
  keys: string[] | null;
  title: string;
  text: string;
  recordedAt: Date;
}

export interface KeyEventRow {
  logId: string;
  seq: Count;
  kind: 'announce' | 'change';
  fingerprint: string;
  successor: string | null;
  sealing: string | null;
  fromFingerprint: string | null;
  signedBy: 'old' | 'successor' | 'none' | null;
  recordedAt: Date;
}

export interface WitnessedLogRow {
  origin: string;
  verifierKeys: string[];
  released: boolean;
  registeredAt: Date;
  version: Count;
}

/** A scrub that ended. */
export interface ScrubRow {
  scrubId: string;
  startedAt: Date;
  endedAt: Date;
  /** those that were read: primary, replica */
  stores: string[];
  objects: Count;
  sizeBytes: Count;
  checkpoints: Count;
  troubles: number;
  mended: number;
  /** digest of the full report */
  report: string;
  version: Count;
}
