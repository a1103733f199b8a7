/** Door of the question: a person's plain words into filters, and a pasted table into past work. */
export {
  PAST_COLUMNS,
  type PastFault,
  type PastRow,
  type PastWork,
  readPastTable,
} from './read-past-table.js';
export { readQuestion } from './read-question.js';
