/** Door of the records: the model, its layout, and the HTML page. The PDF is made by libs/print. */
export {
  type Block,
  type Fact,
  layOutRecord,
  NOT_RECORDED,
  type ObservationRow,
  personText,
  type RecordLayout,
  type RecordOptions,
  type StepRow,
} from './blocks.js';
export {
  type Checklist,
  type ChecklistAbout,
  type ChecklistDrawing,
  type ChecklistTable,
  dismantlingChecklist,
  type LeadKindRow,
  type PanelInOrder,
  rebuildChecklist,
  refixingChecklist,
  removalChecklist,
  type TightSizeMm,
} from './checklist.js';
export {
  type DrawingPlan,
  drawingSvg,
  fittingScale,
  partShown,
  planDrawing,
  ROUGH_TAG_MM,
} from './drawing-svg.js';
export { ELEVATION_ROOM_MM, elevationSvg } from './elevation-svg.js';
export { type EstimatePaper, layOutEstimate } from './estimate-layout.js';
export { layOutProposal, type ProposalPaper } from './proposal-layout.js';
export {
  blankConditionRecord,
  blankTreatmentRecord,
  type ClassReason,
  type ConditionRecord,
  type EarlierWork,
  type FigureSource,
  type LedgerPlace,
  type MullionRecord,
  type Observation,
  type RecordDimension,
  type RecordDrawing,
  type RecordElevation,
  type RecordImage,
  type RecordPerson,
  type RecordSubject,
  type RecordVersion,
  recordJson,
  type TreatmentRecord,
  type TreatmentStep,
} from './record.js';
export { recordHtml } from './record-html.js';
export {
  sampleConditionRecord,
  sampleNet,
  sampleObservation,
  sampleTreatmentRecord,
} from './sample-record.js';
