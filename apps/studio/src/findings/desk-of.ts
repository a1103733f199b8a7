import {
  type Finding,
  type FindingBody,
  recordFinding,
  withdrawFinding,
} from '../platform/api/findings.js';
import { Refused } from '../platform/api/request.js';
import { say } from '../platform/language/say.js';
import { newId } from '../platform/new-id.js';
import { reason } from '../platform/use-answer.js';
import { type DrawnItem, FindingDesk } from './finding-desk.js';

const desks = new Map<string, FindingDesk>();

/** The desk of one panel and person; the same one as long as the page is open. */
export function deskOf(panelId: string, personId: string): FindingDesk {
  const place = `findings on their way ${personId} ${panelId}`;
  const known = desks.get(place);
  if (known) return known;
  const made = new FindingDesk({
    send: (body: FindingBody, key: string): Promise<Finding> => recordFinding(panelId, body, key),
    withdraw: (findingId, version) =>
      withdrawFinding(findingId, say('Taken back at the bench right after it was drawn.'), version),
    newKey: newId,
    trouble: (error) => ({
      why: reason(error),
      // Signed out, too much at once or a server in trouble: the same bytes may be taken later.
      isFinal:
        error instanceof Refused &&
        ![401, 408, 425, 429].includes(error.status) &&
        error.status < 500,
    }),
    keep: (items) => {
      try {
        if (items.length === 0) window.localStorage.removeItem(place);
        else window.localStorage.setItem(place, JSON.stringify(items));
      } catch {
        // A full store keeps nothing more; what waits is still in this page, and is sent from it.
      }
    },
    kept: () => {
      try {
        return JSON.parse(window.localStorage.getItem(place) ?? '[]') as readonly DrawnItem[];
      } catch {
        return [];
      }
    },
  });
  desks.set(place, made);
  return made;
}
