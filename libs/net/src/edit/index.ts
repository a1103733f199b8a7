/** Editing a lead drawing by hand. */
export { addLead, type NewLead, type Target } from './add-lead.js';
export { eraseLeads, healJoint, leadNear, middleOf, splitLead } from './cut.js';
export {
  type Drawing,
  type DrawnLead,
  endsAt,
  openDrawing,
  sketchOfDrawing,
} from './drawing.js';
export { joinGap, likelyJoin, type OpenEnd, openEnds } from './gaps.js';
export {
  beginHistory,
  did,
  type History,
  mapHistory,
  redo,
  shortHistory,
  undo,
} from './history.js';
export { type Judgement, judgeDrawing, type Trouble } from './judge.js';
export { nearestOnLine, type PlaceOnLine } from './lead-shape.js';
export {
  bendLead,
  moveJoints,
  moveLeads,
  placeJoints,
  slideJoint,
  straightenLeads,
  trackOf,
  weldJoint,
  weldToLead,
} from './move.js';
export { markOuter } from './outline.js';
export { letterParts, numberPiece } from './piece-numbers.js';
export { putOnTop } from './put-on-top.js';
export { type Question, questionsOf } from './review.js';
export { leadKindWords, type NetChange, sayNetChange } from './say-net-change.js';
export { answerPlaces, confirmLeads, type LeadWord, leadsOfWidth, setLeads } from './set-leads.js';
export { type Snapper, snapper } from './snap.js';
