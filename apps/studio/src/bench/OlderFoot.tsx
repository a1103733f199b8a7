import './older-foot.css';
import { type RefObject, useEffect, useRef } from 'react';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { sayHowMany } from './say-how-many.js';
import type { OlderPictures } from './use-older-pictures.js';

/** Room for the ring round what is focused. */
const EDGE_PX = 6;

/**
 * At the foot of a list of pictures: how many of all it shows, and the way to older ones. Whoever goes
 * there stands at the first of them.
 */
export function OlderFoot({
  older,
  shown,
  total,
  list,
  onGround = false,
}: {
  /** null: the list is short and needs no foot */
  older: OlderPictures | null;
  shown: number;
  total: number;
  /** its lines have `data-media` and can be focused */
  list: RefObject<HTMLElement | null>;
  onGround?: boolean;
}) {
  // Two lists show the same pictures; only the one in which older ones were asked for moves on.
  const isGoing = useRef(false);
  const brought = older?.brought;
  useEffect(() => {
    const all = list.current;
    if (!isGoing.current || !all || !brought?.length) return;
    isGoing.current = false;
    const fresh = new Set(brought);
    const first = [...all.querySelectorAll<HTMLElement>('[data-media]')].find(({ dataset }) =>
      fresh.has(dataset['media'] ?? ''),
    );
    if (!first) return;
    const [at, top] = [first.getBoundingClientRect(), all.getBoundingClientRect()];
    const [down, right] = [at.top - top.top - EDGE_PX, at.left - top.left - EDGE_PX];
    all.scrollBy({ top: down, left: right, behavior: 'instant' });
    first.focus();
  }, [brought, list]);
  if (older === null) return null;
  const { ask, busy, why } = older;
  return (
    <>
      <div className="older">
        <p role="status">{sayHowMany(older, shown, total)}</p>
        {ask === null ? null : (
          <button
            type="button"
            className="quiet"
            // Not disabled: whoever came by keys would lose the place.
            aria-disabled={busy}
            onClick={() => {
              isGoing.current = true;
              ask();
            }}
          >
            {busy ? say('fetching…') : say('older ones')}
          </button>
        )}
      </div>
      <Refusal why={why} onGround={onGround} />
    </>
  );
}
