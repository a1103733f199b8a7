export { PROBLEMS, type ProblemCode } from './catalogue.js';
export { Problem, type ProblemBody, type ProblemMembers, problemBody } from './problem.js';
