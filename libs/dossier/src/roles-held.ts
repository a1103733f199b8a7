/** Who held which role when writing: read from the leaves that the entries refer to. */

import type { JsonValue } from '#libs/ledger';

export interface RoleHeld {
  /** pseudonymous id of the person */
  actorId: string;
  /** recorder, conservator, … */
  role: string;
  /** origin line of the log with the entry that gave it, and its number */
  origin: string;
  index: number;
  /** how many entries of this dossier were written by it */
  entries: number;
}

/** What is read of the entry that gave a role. */
interface GrantEntry {
  type: string;
  payload: JsonValue;
}

/** Counts entries by author and the leaf that gave the author a role. */
export class RolesHeld {
  private readonly held = new Map<string, RoleHeld>();

  add(actorId: string, origin: string, index: number, leaf: { entry?: GrantEntry }): void {
    const role = leaf.entry === undefined ? undefined : roleGiven(leaf.entry, actorId);
    if (role === undefined) return;
    const name = `${actorId} ${index} ${origin}`;
    const known = this.held.get(name);
    if (known === undefined) this.held.set(name, { actorId, role, origin, index, entries: 1 });
    else known.entries += 1;
  }

  get all(): RoleHeld[] {
    return [...this.held.values()];
  }
}

/** The role that an entry of the studio's log gives a person; the roles, where it gives several. */
function roleGiven({ type, payload }: GrantEntry, personId: string): string | undefined {
  if (!['person.start', 'person.add', 'role.grant'].includes(type)) return undefined;
  const said = payload as { personId?: unknown; role?: unknown; grants?: unknown };
  if (said.personId !== personId) return undefined;
  if (typeof said.role === 'string') return said.role;
  if (!Array.isArray(said.grants)) return undefined;
  const roles = (said.grants as { role?: unknown }[]).flatMap(({ role }) =>
    typeof role === 'string' ? [role] : [],
  );
  return roles.length === 0 ? undefined : [...new Set(roles)].join(', ');
}
