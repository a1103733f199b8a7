/** Door of surveys: proposed reasons, the ranked list, change between two visits, dates to come back. */
export { type Inspection, inspectionsIcal } from './inspections-ical.js';
export {
  type ProposedReason,
  type ProposedReasons,
  proposedReasons,
  type SurveyedFinding,
} from './proposed-reasons.js';
export {
  type PanelStanding,
  type RankedWindow,
  type Ranking,
  rankWindows,
  type UnseenWindow,
  type WindowStanding,
} from './rank-windows.js';
export { rankingCsv } from './ranking-csv.js';
export {
  type ChangeWord,
  type PanelChange,
  type SaidPanel,
  surveyChange,
} from './survey-change.js';
