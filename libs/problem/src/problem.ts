/** Failures that a caller of the API can act on, as RFC 9457 problem details. */
import { PROBLEMS, type ProblemCode } from './catalogue.js';

export type ProblemMember = string | number | boolean | null | readonly string[];
export type ProblemMembers = Readonly<Record<string, ProblemMember>>;

export class Problem extends Error {
  override readonly name = 'Problem';

  /**
   * @param detail what went wrong this time and what the person can do about it
   * @param members extra fields of the body, e.g. `{ field: 'happened', currentVersion: 7 }`
   */
  constructor(
    readonly code: ProblemCode,
    detail: string,
    readonly members: ProblemMembers = {},
    options?: ErrorOptions,
  ) {
    super(detail, options);
  }
}

export interface ProblemBody {
  type: string;
  title: string;
  status: number;
  detail: string;
  instance: string;
}

/** @param instance path of the request (or `/jobs/<id>`) that failed */
export function problemBody(problem: Problem, instance: string): ProblemBody & ProblemMembers {
  const { status, title } = PROBLEMS[problem.code];
  return {
    ...problem.members,
    type: `/problems/${problem.code}`,
    title,
    status,
    detail: problem.message,
    instance,
  };
}
