/** Which two revisions are compared: '2-5' in the address, or the newest and the one before it. */
import type { NetSummary } from '../platform/api/nets.js';
import { say } from '../platform/language/say.js';

export const thingOfPair = (before: number, after: number): string =>
  `${Math.min(before, after)}-${Math.max(before, after)}`;

/** @param nets newest first */
export function pairOfThing(
  thing: string | null,
  nets: readonly NetSummary[],
): readonly [number, number] | null {
  const asked = /^(\d+)-(\d+)$/.exec(thing ?? '');
  if (asked) return [Number(asked[1]), Number(asked[2])];
  const newest = nets[0];
  const before = nets.find(
    (net) => newest !== undefined && net.revision < newest.revision && net.layer === newest.layer,
  );
  return newest && before ? [before.revision, newest.revision] : null;
}

/** 'revision 3, edited by hand' */
export const sayRevision = (net: Pick<NetSummary, 'revision' | 'madeBy' | 'layer'>): string =>
  say('revision {revision}, {madeBy}{layer}', {
    revision: net.revision,
    madeBy: sayMaker(net.madeBy),
    layer: net.layer === 'back' ? say(', back layer') : '',
  });

/** Who or what drew it, from the name that the drawing carries. */
export function sayMaker(madeBy: string): string {
  if (madeBy.startsWith('hand')) return say('edited by hand');
  if (madeBy.startsWith('import')) return say('from a file');
  return say('read from the rubbing');
}

/** 'by Glazier, 2026-11-25 13:09' */
export const sayMade = ({
  recordedByName,
  recordedAt,
}: Pick<NetSummary, 'recordedByName' | 'recordedAt'>): string =>
  `${recordedByName === null ? '' : say('by {recordedByName}, ', { recordedByName })}${sayTime(recordedAt)}`;

/** 'signed by Studio head, 2026-11-25 13:09' */
export const saySigned = ({
  signedByName,
  signedAt,
}: Pick<NetSummary, 'signedByName' | 'signedAt'>): string =>
  signedAt === null
    ? say('not signed')
    : say('signed{signedByName}, {signedAt}', {
        signedByName: signedByName === null ? '' : say(' by {signedByName}', { signedByName }),
        signedAt: sayTime(signedAt),
      });

/** '2026-11-25 13:09', in the clock of this computer. */
function sayTime(recordedAt: string): string {
  const at = new Date(recordedAt);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
