export * from './backgrounds.js';
export * from './campaigns.js';
export * from './conditions.js';
export {
  dischargeCondition,
  dischargeConditionBody,
  giveConsent,
  giveConsentBody,
  recordConsent,
  recordConsentBody,
} from './consents.js';
export * from './crates.js';
export * from './deflections.js';
export * from './devices.js';
export * from './dismantling.js';
export * from './dossiers.js';
export { drawingBefore } from './drawing-before.js';
export { epochOpened } from './epochs.js';
export * from './erasure.js';
export * from './estimates.js';
export * from './findings.js';
export * from './flags.js';
export {
  chooseGlass,
  chooseGlassBody,
  cutGlass,
  cutGlassBody,
} from './glass-choice.js';
export {
  describeSheet,
  describeSheetBody,
  priceMaterial,
  priceMaterialBody,
} from './glass-sheets.js';
export { handOver, handOverBody, receive, receiveBody } from './handovers.js';
export * from './interventions.js';
export { keyAnnounced, keyChanged } from './keys.js';
export * from './lens-calibrations.js';
export * from './lifting.js';
export { countMaterial, countMaterialBody, enterMaterial, enterMaterialBody } from './materials.js';
export * from './media.js';
export {
  recordMovement,
  recordMovementBody,
  withdrawMovement,
  withdrawMovementBody,
} from './movements.js';
export * from './net-extract.js';
export * from './net-import.js';
export * from './net-revise.js';
export * from './net-sign.js';
export * from './panel-materials.js';
export * from './panels.js';
export * from './people.js';
export * from './piece-technique.js';
export * from './pieces.js';
export * from './placements.js';
export { sendProposal, sendProposalBody, writeProposal, writeProposalBody } from './proposals.js';
export * from './protection.js';
export * from './rebuild-check.js';
export * from './refixing.js';
export * from './removal.js';
export * from './rubbing-extraction.js';
export * from './rubbings.js';
export * from './scrubs.js';
export {
  askAssembly,
  askAssemblyBody,
  storeAssembly,
} from './shard-assembly.js';
export {
  keepJoining,
  keepJoiningBody,
  withdrawJoining,
  withdrawJoiningBody,
} from './shard-joining.js';
export * from './sites.js';
export * from './surveys.js';
export * from './tests.js';
export * from './treatment-sign.js';
export * from './windows.js';
export * from './withdrawals.js';
export * from './witness.js';
export * from './work-time.js';
