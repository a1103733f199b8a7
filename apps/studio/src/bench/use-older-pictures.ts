import { useEffect, useMemo, useState } from 'react';
import { type Panel, readPanelMedia } from '../platform/api/panels.js';
import { reason } from '../platform/use-answer.js';
import { eachOnce, type ReadOlder, readOlder } from './read-older.js';

/** Asked for at once. */
const PAGE = 200;

/** A panel has more pictures than come with it. */
export interface OlderPictures {
  /** asks for the next page of them; null: all are here */
  readonly ask: (() => void) | null;
  readonly busy: boolean;
  /** why they could not be had */
  readonly why: string | undefined;
  /** the last page that was asked for */
  readonly brought: readonly string[];
}

interface Held extends ReadOlder {
  readonly panel: Panel | null;
  /** pages that were asked for when this was read */
  readonly asked: number;
  readonly brought: readonly string[];
}
const nothing: Held = { panel: null, asked: 0, items: [], next: null, brought: [] };

/**
 * The panel with those of its older pictures that were asked for among its media, as if they had come with it.
 * When the panel is read anew, so are they, as far back as before. `older` is null for a panel whose pictures
 * all come with it.
 */
export function useOlderPictures<P extends Panel | undefined>(
  panel: P,
): { readonly panel: P; readonly older: OlderPictures | null } {
  const panelId = panel?.panelId;
  const [asking, setAsking] = useState({ panelId, times: 0 });
  const [kept, keep] = useState(nothing);
  const [failed, setFailed] = useState<{ panel: Panel; asked: number; why: string }>();
  const held = kept.panel?.panelId === panelId ? kept : nothing;
  const asked = asking.panelId === panelId ? asking.times : 0;
  const isMore = asked !== held.asked;

  useEffect(() => {
    if (panel === undefined) return;
    const isCurrent = held.panel === panel;
    if (!isMore && (isCurrent || held.items.length === 0)) return;
    const leaving = new AbortController();
    readOlder(
      isCurrent ? held : { items: [], next: panel.mediaNext },
      { downTo: isCurrent ? undefined : held.items.at(-1), isMore },
      (after) => readPanelMedia(panel.panelId, { after, limit: PAGE }, leaving.signal),
    ).then(
      ({ items, next, brought }) => {
        if (leaving.signal.aborted) return;
        const ids = isMore ? brought.map(({ mediaId }) => mediaId) : held.brought;
        keep({ panel, asked, items, next, brought: ids });
      },
      (error: unknown) => {
        if (!leaving.signal.aborted) setFailed({ panel, asked, why: reason(error) });
      },
    );
    return () => {
      leaving.abort();
    };
    // What is held changes by this effect alone.
  }, [panel, asked]);

  const shown = useMemo(
    () =>
      panel === undefined || held.items.length === 0
        ? panel
        : { ...panel, media: eachOnce(panel.media, held.items) },
    [panel, held],
  );
  // Of what follows, all may be here already: laid pictures always are.
  const isAll = (media: readonly unknown[]) => media.length >= (panel?.counts.media ?? 0);
  if (!panel || !shown || panel.mediaNext === null || isAll(panel.media))
    return { panel: shown, older: null };
  const why = failed?.panel === panel && failed.asked === asked ? failed.why : undefined;
  const busy = isMore && why === undefined;
  return {
    panel: shown,
    older: {
      ask:
        isAll(shown.media) || (held.items.length > 0 && held.next === null)
          ? null
          : () => {
              if (!busy) setAsking({ panelId, times: asked + 1 });
            },
      busy,
      why,
      brought: held.brought,
    },
  };
}
