/** Door of the estimate: decimals, money, ranges, and what a campaign will take. */
export { minorDigits, roundMoney } from './currency.js';
export {
  addDecimals,
  dividedBy,
  multiplied,
  negated,
  percentOfRatio,
  ratioOfPercent,
} from './decimal-text.js';
export {
  type Alternative,
  type Estimated,
  type EstimateLine,
  type EstimateTerms,
  estimated,
  type MoneyRange,
  quantitiesFromArea,
  type Variation,
  variation,
} from './estimate.js';
export { EstimateError, type EstimateFault } from './estimate-error.js';
export { learned, type Range } from './range.js';
