export { addDecimals, isLess, negated } from './decimal-text.js';
