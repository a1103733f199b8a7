/** A visit that is being made: kept in this browser until it is recorded, panel by panel. */
import type { PanelProposal, SurveyBody } from '../platform/api/surveys.js';
import { CLASSES, type ClassText, classOf, isSeen } from '../platform/condition-class.js';

export const NUMBERS = ['0', '1', '2', '3'] as const;
export type NumberText = (typeof NUMBERS)[number];

export interface PanelDraft {
  readonly conditionClass: ClassText | null;
  readonly urgency: NumberText | null;
  readonly recommendation: NumberText | null;
  /** in the surveyor's own words */
  readonly reason: string;
  /** computed reasons that do not count here: text → why */
  readonly setAside: Readonly<Record<string, string>>;
}

export interface SurveyDraft {
  /** of the request that records it: sent twice it is one visit */
  readonly key: string;
  readonly happened: string;
  readonly said: Readonly<Record<SaidField, string>>;
  readonly panels: Readonly<Record<string, PanelDraft>>;
}

export const SAID_FIELDS = [
  'purpose',
  'scope',
  'notReached',
  'method',
  'light',
  'weather',
  'access',
  'protectiveGlazing',
  'ventilation',
  'heating',
  'condensation',
  'safety',
  'risk',
  'furtherDiagnosis',
  'observerRole',
  'nextInspection',
] as const;
export type SaidField = (typeof SAID_FIELDS)[number];

export function emptyDraft(key: string, happened: string): SurveyDraft {
  const said = Object.fromEntries(SAID_FIELDS.map((field) => [field, ''])) as SurveyDraft['said'];
  return { key, happened, said, panels: {} };
}

export const EMPTY_PANEL: PanelDraft = {
  conditionClass: null,
  urgency: null,
  recommendation: null,
  reason: '',
  setAside: {},
};

/** Whether what was kept in a browser or a file is such a visit, whole. */
export function isDraft(value: unknown): value is SurveyDraft {
  if (!isMembers(value)) return false;
  const { key, happened, said, panels } = value;
  return (
    typeof key === 'string' &&
    typeof happened === 'string' &&
    isMembers(said) &&
    SAID_FIELDS.every((field) => typeof said[field] === 'string') &&
    isMembers(panels) &&
    Object.values(panels).every(isPanelDraft)
  );
}

function isPanelDraft(value: unknown): value is PanelDraft {
  if (!isMembers(value)) return false;
  const { conditionClass, urgency, recommendation, reason, setAside } = value;
  return (
    isNullOr(CLASSES, conditionClass) &&
    isNullOr(NUMBERS, urgency) &&
    isNullOr(NUMBERS, recommendation) &&
    typeof reason === 'string' &&
    isMembers(setAside) &&
    Object.values(setAside).every((why) => typeof why === 'string')
  );
}

const isMembers = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const isNullOr = (words: readonly string[], value: unknown): boolean =>
  value === null || (typeof value === 'string' && words.includes(value));

export type Missing = 'purpose' | 'panel' | 'reason' | 'why';

/** What a panel still lacks before it can be recorded; null when it has all or was not touched. */
export function panelLacks(draft: PanelDraft, proposal: PanelProposal | undefined): Missing | null {
  if (draft.conditionClass === null) return null;
  const taken = reasonsTaken(draft, proposal);
  if (draft.reason.trim() === '' && taken.length === 0) return 'reason';
  return Object.values(draft.setAside).some((why) => why.trim() === '') ? 'why' : null;
}

/** Computed reasons that count: those of a panel that was seen, less what was set aside. */
export function reasonsTaken(draft: PanelDraft, proposal: PanelProposal | undefined): string[] {
  if (!isSeen(draft.conditionClass)) return [];
  return (proposal?.reasons ?? [])
    .map(({ text }) => text)
    .filter((text) => !(text in draft.setAside));
}

/** The body to send, or what is missing and at which panel. */
export function bodyOf(
  draft: SurveyDraft,
  proposals: ReadonlyMap<string, PanelProposal>,
): { body: SurveyBody } | { missing: Missing; panelId: string | null } {
  const text = (field: SaidField) => draft.said[field].trim() || null;
  const purpose = text('purpose');
  if (purpose === null) return { missing: 'purpose', panelId: null };
  const said = Object.entries(draft.panels).filter(([, { conditionClass }]) => conditionClass);
  if (said.length === 0) return { missing: 'panel', panelId: null };
  for (const [panelId, panel] of said) {
    const missing = panelLacks(panel, proposals.get(panelId));
    if (missing !== null) return { missing, panelId };
  }
  return {
    body: {
      purpose,
      scope: text('scope'),
      notReached: text('notReached'),
      method: text('method'),
      light: text('light'),
      weather: text('weather'),
      access: text('access'),
      environment: {
        protectiveGlazing: text('protectiveGlazing'),
        ventilation: text('ventilation'),
        heating: text('heating'),
        condensation: text('condensation'),
      },
      elements: [],
      safety: text('safety'),
      risk: text('risk'),
      furtherDiagnosis: text('furtherDiagnosis'),
      observerRole: text('observerRole'),
      place: null,
      images: [],
      causes: [],
      nextInspection: text('nextInspection'),
      happened: draft.happened.trim(),
      panels: said.map(([panelId, panel]) => panelBody(panelId, panel, proposals.get(panelId))),
    },
  };
}

function panelBody(panelId: string, panel: PanelDraft, proposal: PanelProposal | undefined) {
  const seen = isSeen(panel.conditionClass);
  const own = panel.reason.trim();
  const number = (text: NumberText | null) => (seen && text !== null ? (Number(text) as 0) : null);
  return {
    panelId,
    conditionClass: classOf(panel.conditionClass!),
    urgency: number(panel.urgency),
    recommendation: number(panel.recommendation),
    reasons: [
      ...(own === '' ? [] : [{ text: own, source: 'surveyor' as const }]),
      ...reasonsTaken(panel, proposal).map((text) => ({ text, source: 'findings' as const })),
    ],
    setAside: seen
      ? Object.entries(panel.setAside).map(([text, why]) => ({ text, why: why.trim() }))
      : [],
    extentRatio: seen ? (proposal?.extentRatio ?? null) : null,
    recommendationText: null,
    causes: [],
    risk: null,
    furtherDiagnosis: null,
  };
}
