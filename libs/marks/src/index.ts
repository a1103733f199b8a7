export * from './alias.js';
export * from './compare.js';
export * from './file-form.js';
export * from './format.js';
export * from './mark.js';
export {
  parseInPanel,
  parseMark,
  parseOpening,
  parseWindow,
  readBuildingOf,
  readMark,
  readMarkIn,
} from './parse.js';
export { MarkError, type MarkRefusal, type Reading } from './refusal.js';
export * from './roman.js';
