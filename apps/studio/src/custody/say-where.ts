/** Where a thing is, in words; and the few kinds of place that the drawing tells apart. */
import type { Where } from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';

export const whereKinds = ['opening', 'window', 'crate', 'bench', 'place', 'holder'] as const;
export type WhereKind = (typeof whereKinds)[number];

/** @param where of a panel; nothing said: it stands in its opening */
export function whereKind({ at, crate }: Where): WhereKind {
  if (at?.kind === 'holder') return 'holder';
  if (crate !== null) return 'crate';
  return at === null || at.kind === 'whole' || at.kind === 'crate' ? 'opening' : at.kind;
}

export const whereWords = (kind: WhereKind): string =>
  ({
    opening: say('in its opening'),
    window: say('out, not packed'),
    crate: say('in a crate'),
    bench: say('on the bench'),
    place: say('at another place'),
    holder: say('in other hands'),
  })[kind];

/** "crate 3, slot 2, with the carrier, since 2 April 2026" */
export function sayWhere(where: Where): string {
  const { at, crate, since } = where;
  const parts: string[] = [];
  if (crate)
    parts.push(
      crate.slot === null
        ? say('crate {crate}', { crate: crate.mark })
        : say('crate {crate}, slot {slot}', { crate: crate.mark, slot: crate.slot }),
    );
  if (at?.kind === 'holder')
    parts.push(
      at.place === null
        ? say('with the {role}', { role: at.role })
        : say('with the {role}, {place}', { role: at.role, place: at.place }),
    );
  else if (at?.kind === 'place') parts.push(at.place);
  else if (parts.length === 0) parts.push(whereWords(whereKind(where)));
  else if (at?.kind === 'bench') parts.push(whereWords('bench'));
  if (where.passing === 'due') parts.push(say('nobody has signed yet'));
  if (where.passing === 'given') parts.push(say('on its way, not yet received'));
  if (since !== null) parts.push(say('since {day}', { day: since }));
  if (where.expectedReturn !== null)
    parts.push(say('expected back {day}', { day: where.expectedReturn }));
  return parts.join(', ');
}
