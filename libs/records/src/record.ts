/**
 * Condition record and treatment record: one model from which JSON, HTML and PDF are made.
 *
 * Fields follow the order of the published record forms as far as they are known here (EN 16095,
 * EN 16096, EN 16853 and the Corpus Vitrearum guidelines of 2004, headings only; our own field
 * names). `null` means not recorded and is printed so: nothing is filled in for looks.
 */
import type { Net, XyMm } from '#libs/net';
import type { ClassNumber, ConditionClass, FindingGeometry, Measure } from '#libs/vocabulary';

export interface RecordSubject {
  /** 'SLM.wI.2b' */
  readonly mark: string;
  /** Numbering scheme of the mark. */
  readonly scheme: string;
  readonly kind: 'site' | 'window' | 'panel' | 'piece';
  readonly siteName: string | null;
  /** Object name or title: 'Two ferrymen, west window'. */
  readonly title: string | null;
  /** Numbers of other studios and archives. */
  readonly aliases: readonly {
    readonly scheme: string;
    readonly text: string;
    readonly source: string;
  }[];
}

export type FigureSource = 'measured' | 'computed' | 'estimated';

/** A size with where it came from. */
export interface RecordDimension {
  /** 'panel size', 'tight size', 'sight size', 'opening' */
  readonly name: string;
  readonly widthMm: number | null;
  readonly heightMm: number | null;
  readonly source: FigureSource;
  readonly note: string | null;
}

/** Where in the ledger this record's facts stand, and whose key signed it. */
export interface LedgerPlace {
  readonly origin: string;
  /** Entry that this record is as of, 0-based. */
  readonly entrySeq: number;
  readonly treeSize: number;
  /** Root hash, base64. */
  readonly rootHash: string;
  /** Fingerprint of the archive's key, to be compared with another copy. */
  readonly fingerprint: string;
  /** How the key was changed last, a sentence; left out while it is the first. */
  readonly keyChange?: string;
}

export interface RecordVersion {
  /** 'mullion-record/1' */
  readonly format: 'mullion-record/1';
  /** Version of this record: the sequence number of the last entry it tells of, as text. */
  readonly version: string;
  /** Version it replaces. */
  readonly supersedes: string | null;
  /** When the archive wrote it, ISO 8601 with zone; taken from the ledger, never the clock. */
  readonly recordedAt: string | null;
  readonly ledger: LedgerPlace | null;
}

/** Who looked, who did. */
export interface RecordPerson {
  readonly name: string;
  readonly role: string | null;
}

export interface RecordImage {
  readonly fileName: string;
  /** 'sha256:…' of the original bytes. */
  readonly digest: string;
  /** 'transmitted', 'reflected', 'raking, lamp at 10 o’clock, 15°', … */
  readonly light: string | null;
  readonly face: 'inside' | 'outside' | null;
  readonly stage: 'before' | 'during' | 'after' | 'undated' | null;
  readonly happened: string | null;
  readonly scale: string | null;
  /** Small JPEG for the page; not part of the JSON. */
  readonly previewJpeg?: Uint8Array;
}

/** The lead drawing, or only the outline, on which findings are shown. */
export interface RecordDrawing {
  /** 'SLM.wI.2b' */
  readonly mark: string;
  readonly net: Net | null;
  /** Panel outline in the panel's frame, for a panel without a net. */
  readonly outlineMm: readonly XyMm[] | null;
  readonly revision: number | null;
  readonly isSigned: boolean;
  /** Doubtful leads and places that stood open when it was signed. */
  readonly openDoubts?: number;
  /** Piece to which a piece's record looks closely: '17'. */
  readonly focusPieceId: string | null;
}

/** The window from inside, with the panels that hold findings or are the subject. */
export interface RecordElevation {
  /** 'SLM.wI' */
  readonly mark: string;
  /** Outline of the opening in the window's frame, mm. */
  readonly openingRingMm: readonly XyMm[];
  readonly panels: readonly {
    /** '2b' */
    readonly mark: string;
    readonly ringMm: readonly XyMm[];
    readonly findings: number;
    readonly isSubject: boolean;
  }[];
}

export interface Observation {
  /** Running number in this record, printed on the drawing. */
  readonly number: number;
  /** Key of the vocabulary. */
  readonly term: string;
  /** Full mark of the panel whose drawing shows it. */
  readonly panelMark: string;
  /** '17', 'L12', 'J4' or null for the panel. */
  readonly inPanel: string | null;
  readonly geometry: FindingGeometry | null;
  readonly measure: Measure | null;
  readonly face: 'inside' | 'outside' | null;
  readonly layer: string | null;
  readonly observer: RecordPerson | null;
  /** EDTF. */
  readonly happened: string | null;
  /** File names of the images that show it. */
  readonly evidence: readonly string[];
  readonly note: string | null;
  readonly entrySeq: number | null;
}

export interface ClassReason {
  readonly text: string;
  /** Running numbers of observations. */
  readonly observations: readonly number[];
}

export interface EarlierWork {
  readonly happened: string | null;
  readonly by: string | null;
  readonly what: string;
  readonly evidence: string | null;
}

export interface SurveyedElement {
  /** 'frame', 'stone', 'ironwork', … */
  readonly element: string;
  readonly conditionClass: ConditionClass;
  readonly urgency: ClassNumber | null;
  readonly recommendation: ClassNumber | null;
  readonly reason: string;
}

export interface RecordTest {
  readonly mark: string;
  readonly kind: string;
  readonly place: string;
  readonly method: string;
  readonly happened: string;
  /** null: the result is awaited. */
  readonly outcome: string | null;
  readonly result: string | null;
  readonly sample: string | null;
  /** What holds while it is awaited. */
  readonly untilKnown: string | null;
}

export interface RecordBulge {
  readonly mark: string;
  /** Out of the plane of the panel's edges; positive: inwards. */
  readonly riseMm: number;
  /** Two standard deviations. */
  readonly offMm: number;
  readonly readings: number;
  readonly datum: string;
  readonly happened: string;
}

export interface ConditionRecord {
  readonly kind: 'condition';
  readonly version: RecordVersion;
  readonly subject: RecordSubject;
  readonly keeper: string | null;
  readonly protection: string | null;
  readonly location: string | null;
  readonly dimensions: readonly RecordDimension[];
  readonly materials: string | null;
  readonly technique: string | null;
  readonly made: {
    readonly happened: string;
    readonly by: string | null;
    readonly source: string | null;
  } | null;
  readonly earlierWork: readonly EarlierWork[] | null;
  readonly purpose: string | null;
  readonly scope: string | null;
  readonly notReached: string | null;
  readonly method: string | null;
  readonly environment: string | null;
  /** What holds the glazing, element by element. */
  readonly elements: readonly SurveyedElement[];
  readonly observations: readonly Observation[];
  readonly suspectedCauses:
    | readonly { readonly text: string; readonly confidence: string | null }[]
    | null;
  readonly conditionClass: {
    readonly value: ConditionClass;
    readonly reasons: readonly ClassReason[];
  } | null;
  /** How much of the pieces a damage touches, beside the class and never turned into one. */
  readonly extent: string | null;
  readonly risk: string | null;
  readonly urgency: {
    readonly value: ClassNumber;
    readonly reasons: readonly ClassReason[];
  } | null;
  readonly recommendation: {
    readonly value: ClassNumber | null;
    readonly text: string | null;
  } | null;
  readonly furtherDiagnosis: string | null;
  readonly tests: readonly RecordTest[];
  readonly bulges: readonly RecordBulge[];
  /** What whoever comes next must know. */
  readonly safety: string | null;
  /** EDTF. */
  readonly nextInspection: string | null;
  /** Keys of cautions that this record must show. */
  readonly cautions: readonly string[];
  readonly images: readonly RecordImage[];
  /** Where in the window; left out where nothing drew it. */
  readonly elevation?: RecordElevation | null;
  readonly drawings: readonly RecordDrawing[];
  readonly observer: RecordPerson | null;
  readonly happened: string | null;
  readonly place: string | null;
}

export interface TreatmentStep {
  readonly number: number;
  /** Key of the vocabulary. */
  readonly operation: string;
  /** Marks, short form where the record's subject is a panel: '17', 'L12'. */
  readonly subjects: readonly string[];
  readonly material: string | null;
  readonly batch: string | null;
  /** Concentration, solvent, dwell time… as given. */
  readonly detail: string | null;
  readonly by: RecordPerson | null;
  readonly happened: string | null;
  readonly images: readonly string[];
  readonly evidence: string | null;
  readonly note: string | null;
  readonly entrySeq: number | null;
}

export interface TreatmentRecord {
  readonly kind: 'treatment';
  readonly version: RecordVersion;
  readonly subject: RecordSubject;
  /** Condition record it started from: its version and where it stands. */
  readonly startedFrom: { readonly version: string; readonly digest: string | null } | null;
  readonly proposal: string | null;
  readonly options: string | null;
  readonly consent: {
    readonly by: string;
    readonly how: string;
    readonly happened: string | null;
    readonly conditions: string | null;
  } | null;
  readonly beforeImages: readonly RecordImage[];
  readonly steps: readonly TreatmentStep[];
  readonly keptAndRemoved: string | null;
  readonly cleaning: string | null;
  readonly newWork: string | null;
  readonly structuralChange: string | null;
  readonly retained: string | null;
  readonly departures:
    | readonly {
        readonly what: string;
        readonly why: string | null;
        readonly agreedBy: string | null;
      }[]
    | null;
  readonly afterImages: readonly RecordImage[];
  /** Where in the window; left out where nothing drew it. */
  readonly elevation?: RecordElevation | null;
  readonly drawings: readonly RecordDrawing[];
  readonly observations: readonly Observation[];
  readonly residualRisk: string | null;
  readonly maintenance: string | null;
  readonly nextInspection: string | null;
  readonly safetyLog: string | null;
  readonly cautions: readonly string[];
  readonly by: RecordPerson | null;
  readonly qualification: string | null;
  readonly happened: string | null;
}

export type MullionRecord = ConditionRecord | TreatmentRecord;

/** A condition record with nothing recorded yet: spread what is known over it. */
export function blankConditionRecord(
  subject: RecordSubject,
  version: RecordVersion,
): ConditionRecord {
  return {
    kind: 'condition',
    version,
    subject,
    keeper: null,
    protection: null,
    location: null,
    dimensions: [],
    materials: null,
    technique: null,
    made: null,
    earlierWork: null,
    purpose: null,
    scope: null,
    notReached: null,
    method: null,
    environment: null,
    elements: [],
    observations: [],
    suspectedCauses: null,
    conditionClass: null,
    extent: null,
    risk: null,
    urgency: null,
    recommendation: null,
    furtherDiagnosis: null,
    tests: [],
    bulges: [],
    safety: null,
    nextInspection: null,
    cautions: [],
    images: [],
    drawings: [],
    observer: null,
    happened: null,
    place: null,
  };
}

/** A treatment record with nothing recorded yet. */
export function blankTreatmentRecord(
  subject: RecordSubject,
  version: RecordVersion,
): TreatmentRecord {
  return {
    kind: 'treatment',
    version,
    subject,
    startedFrom: null,
    proposal: null,
    options: null,
    consent: null,
    beforeImages: [],
    steps: [],
    keptAndRemoved: null,
    cleaning: null,
    newWork: null,
    structuralChange: null,
    retained: null,
    departures: null,
    afterImages: [],
    drawings: [],
    observations: [],
    residualRisk: null,
    maintenance: null,
    nextInspection: null,
    safetyLog: null,
    cautions: [],
    by: null,
    qualification: null,
    happened: null,
  };
}

/** The record as JSON text, previews left out. Same record, same bytes. */
export function recordJson(record: MullionRecord): string {
  return `${JSON.stringify(record, (key, value: unknown) => (key === 'previewJpeg' ? undefined : value), 2)}\n`;
}
