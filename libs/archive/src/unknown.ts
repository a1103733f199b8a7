import { Problem, type ProblemCode } from '#libs/problem';

/** What an address may name. */
export type Target =
  | 'site'
  | 'window'
  | 'panel'
  | 'piece'
  | 'media'
  | 'rubbing'
  | 'net'
  | 'finding'
  | 'intervention'
  | 'condition'
  | 'campaign'
  | 'consent'
  | 'estimate'
  | 'proposal'
  | 'flag'
  | 'survey'
  | 'test'
  | 'deflection'
  | 'assembly'
  | 'joining'
  | 'crate'
  | 'movement'
  | 'dossier'
  | 'person';

/** Not there and not to be seen answer alike, so an id tells nothing to somebody without a role. */
export function unknown(target: Target): Problem {
  return new Problem(
    `${target}-unknown` satisfies ProblemCode,
    `Check the address, or ask the keeper for a role at the site that this ${target} belongs to.`,
  );
}
