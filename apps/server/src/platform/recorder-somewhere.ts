import { isAtLeast } from '#libs/archive';
import { Problem } from '#libs/problem';
import type { Actor } from './actor.js';

/**
 * For what the whole studio shares, such as the register: to whoever may record work at some site.
 *
 * @throws {Problem} `role-insufficient`
 */
export function needRecorderSomewhere({ grants }: Actor): void {
  if (grants.some(({ role }) => isAtLeast(role, 'recorder'))) return;
  throw new Problem('role-insufficient', 'This needs the role recorder. Ask the keeper.', {
    neededRole: 'recorder',
  });
}
