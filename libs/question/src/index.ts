/** Door of the question: a person's plain words into filters of the search. */
export { type QueryName, type Question, readQuestion, type Understood } from './read-question.js';
