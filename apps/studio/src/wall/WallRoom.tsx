import './wall.css';
import { useMemo, useState } from 'react';
import {
  SafekeepingAlarms,
  SafekeepingLines,
  useSafekeeping,
} from '../backups/SafekeepingLines.js';
import { SheetReminder } from '../keys/SheetReminder.js';
import { OutsideAlarms } from '../ledger/OutsideAlarms.js';
import { type MarkPlace, siteMark } from '../platform/api/sites.js';
import { mayDo } from '../platform/api/state.js';
import type { WindowPanel } from '../platform/api/windows.js';
import { edtfSpan } from '../platform/edtf-span.js';
import { Go } from '../platform/Go.js';
import { goTo, setWords, useHere } from '../platform/navigate.js';
import { type Act, pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { Table } from '../platform/Table.js';
import { Word } from '../platform/Word.js';
import { PapersPaper } from '../records/PapersPaper.js';
import { WorkPaper } from '../records/WorkPaper.js';
import { CameOfTime } from './CameOfTime.js';
import { Legend } from './Legend.js';
import { PanelCard } from './PanelCard.js';
import { SitePaper } from './SitePaper.js';
import { shows, showWords } from './shown.js';
import { stepPanel } from './step-panel.js';
import { toldView, viewWords } from './told-view.js';
import { useOutlines } from './use-outlines.js';
import { useWall } from './use-wall.js';
import { useWallLook } from './use-wall-look.js';
import { WallSheet } from './WallSheet.js';
import { WindowPaper } from './WindowPaper.js';
import { boxAround, type StandingSite, type StandingWindow, windowBox } from './wall-layout.js';
import type { WallView } from './wall-map.js';
import { panelFilling, windowsNear } from './wall-near.js';

/** Wall → window → panel: one drawing, moved by typing a mark, by choosing or by zooming. */
export function WallRoom({ at, act = null }: { at: MarkPlace | null; act?: Act | null }) {
  const { words } = useHere();
  const { me } = useSession();
  const { wall, why, again } = useWall(at?.siteId ?? null);
  const [nowYear] = useState(() => new Date().getFullYear() + new Date().getMonth() / 12);
  const what = shows.find((known) => known === words.get('show')) ?? 'work';
  const until = words.get('until');
  const chosen = words.get('panel');

  const standing = wall?.standing ?? noSites;
  const site = standing.find((known) => known.site.siteId === at?.siteId);
  const window_ = site?.windows.find((known) => known.window.windowId === at?.windowId);
  const all = standing.flatMap((known) => known.windows);
  const box = window_
    ? withRoom(windowBox(window_))
    : site
      ? withRoom(site.box)
      : boxAround(standing.length > 0 ? standing.map((known) => withRoom(known.box)) : [emptyBox]);
  const detail = window_ ? wall?.details.get(window_.window.windowId) : undefined;
  const panel = detail?.panels.find((known) => known.mark === chosen);
  const happenings = useMemo(() => wall?.happenings ?? [], [wall]);
  const mark = at?.fullMark ?? null;

  const look = useWallLook(what, wall?.details, window_?.windowId ?? null);
  const [near, setNear] = useState<readonly string[]>([]);
  const outlines = useOutlines(near, wall?.details);
  const place = window_?.shape.places.find((known) => known.mark === chosen);

  const hung = (id: string): StandingWindow | undefined =>
    all.find((known) => known.windowId === id);
  const choose = (id: string, panelMark: string | null) => {
    const standingWindow = hung(id);
    if (!standingWindow) return;
    const windowMark = `${siteMark(standingWindow.site)}.${standingWindow.window.mark}`;
    if (windowMark !== mark) goTo(pathOf(windowMark) + keepShow());
    setWords({ panel: panelMark });
  };
  const open = (id: string, panelMark: string) => {
    const standingWindow = hung(id);
    if (!standingWindow) return;
    goTo(pathOf(`${siteMark(standingWindow.site)}.${standingWindow.window.mark}.${panelMark}`));
  };
  const step = (key: string): boolean => {
    if (!window_) return false;
    if (key === 'Enter' && chosen) {
      open(window_.windowId, chosen);
      return true;
    }
    const next = stepPanel(window_.shape.places, chosen, key);
    if (next === undefined) return false;
    setWords({ panel: next });
    return true;
  };
  const rested = (view: WallView, byHand: boolean) => {
    setNear(windowsNear(all, view));
    if (!byHand) return;
    const filled = panelFilling(all, view);
    if (filled) open(filled.windowId, filled.mark);
    else setWords({ view: viewWords(view) });
  };
  const lookedBack = until === null ? null : (edtfSpan(until)?.to ?? null);
  const spoken =
    panel && window_
      ? `${panel.mark}: ${panel.findings} findings`
      : window_
        ? window_.window.title
        : '';
  return (
    <Shell
      mark={mark}
      sentence={
        standing.length === 0 && wall ? (
          'nothing stands on the wall yet'
        ) : (
          <>
            showing{' '}
            <Word
              label="What is shown"
              value={what}
              options={shows.map((known) => [known, showWords[known]] as const)}
              onChoose={(value) => {
                setWords({ show: value });
              }}
            />
            , happened up to{' '}
            <Word
              label="Happened up to"
              value={until ?? ''}
              options={[
                ['', 'today'],
                ...[...new Set(happenings.map((item) => item.happened))]
                  .sort()
                  .reverse()
                  .map((value) => [value, value] as const),
              ]}
              onChoose={(value) => {
                setWords({ until: value === '' ? null : value });
              }}
            />
            , as known <b>now</b>, from <b>inside</b>
          </>
        )
      }
    >
      <Table
        papers={
          panel ? `the record of ${panel.mark}` : window_ ? 'the window’s record' : 'the records'
        }
        startOpen={act !== null}
        drawing={
          <>
            {why ? (
              <p role="alert" className="over-drawing refused on-ground">
                {why}
              </p>
            ) : null}
            {wall ? (
              <WallSheet
                rows={standing}
                look={look}
                outlines={outlines}
                box={box}
                boxKey={`${mark ?? 'wall'} ${all.length}`}
                told={toldView(words.get('view'))}
                label={
                  window_
                    ? `Elevation of ${mark ?? ''} from inside. Arrow keys step from panel to panel, Enter opens the bench, plus and minus zoom.`
                    : 'The wall: every window as drawn. Plus and minus zoom.'
                }
                chosen={window_ && place ? { at: window_, place } : null}
                onKey={step}
                onPanel={(id, { mark: panelMark }) => {
                  choose(id, panelMark);
                }}
                onOpen={(id, { mark: panelMark }) => {
                  open(id, panelMark);
                }}
                onWindow={(id) => {
                  choose(id, null);
                }}
                onName={(row) => {
                  const named = standing[row];
                  if (named) goTo(pathOf(siteMark(named.site)));
                }}
                onRest={rested}
                over={(view) =>
                  window_ && panel ? (
                    <Pin at={window_} panel={panel} look={view} mark={mark ?? ''} />
                  ) : null
                }
              />
            ) : why ? null : (
              <p className="over-drawing" role="status">
                hanging the windows…
              </p>
            )}
            <CameOfTime
              happenings={happenings}
              until={until}
              nowYear={nowYear}
              onUntil={(value) => {
                setWords({ until: value });
              }}
            />
            {all.length > 0 ? (
              <Legend
                what={what}
                panels={
                  detail
                    ? detail.panels
                    : [...(wall?.details.values() ?? [])].flatMap((answer) => answer.panels)
                }
              />
            ) : null}
            <p className="unseen" aria-live="polite">
              {spoken}
            </p>
          </>
        }
        beside={
          act === 'papers' && at ? (
            <PapersPaper siteId={at.siteId} mark={at.fullMark} />
          ) : act === 'work' && at ? (
            <WorkPaper siteId={at.siteId} mark={at.fullMark} afterwards={again} />
          ) : panel && window_ && mark ? (
            <PanelCard
              key={panel.panelId}
              panel={panel}
              mark={`${mark}.${panel.mark}`}
              until={lookedBack}
            />
          ) : window_ && mark ? (
            <WindowPaper standing={window_} detail={detail} mark={mark} />
          ) : site ? (
            <SitePaper site={site} details={wall?.details} />
          ) : (
            <>
              <OutsideAlarms />
              <WallPaper
                standing={standing}
                mayAdd={mayDo(me, null, 'keeper')}
                ready={wall !== undefined}
              />
            </>
          )
        }
      />
    </Shell>
  );
}

const noSites: readonly StandingSite[] = [];
const emptyBox = { minX: 0, minY: 0, maxX: 6000, maxY: 4000 };
const keepShow = () => {
  const show = new URLSearchParams(window.location.search).get('show');
  return show === null ? '' : (`?show=${show}` as const);
};

/** Room for the names under the sill and the row numbers at the side. */
function withRoom(box: { minX: number; minY: number; maxX: number; maxY: number }) {
  const h = box.maxY - box.minY;
  return { ...box, minX: box.minX - h * 0.02, maxY: box.maxY + h * 0.09 };
}

const pinWidthPx = 210;

/** The next act, pinned at the panel it is about. */
function Pin({
  at,
  panel,
  look,
  mark,
}: {
  at: StandingWindow;
  panel: WindowPanel;
  look: WallView;
  mark: string;
}) {
  const place = at.shape.places.find((known) => known.mark === panel.mark);
  if (!place) return null;
  const screenX = (mm: number) => (mm + at.xMm) * look.k + look.tx;
  const screenY = (mm: number) => (mm + at.yMm) * look.k + look.ty;
  const { minX, minY, maxX, maxY } = place.boundsMm;
  const right = screenX(maxX) + 14;
  // Beside the panel where there is room, over or under it where there is not.
  const beside = right + pinWidthPx < look.width;
  const over = !beside && screenY(minY) > 92;
  const x = beside ? right : (screenX(minX) + screenX(maxX)) / 2;
  const y = beside ? (screenY(minY) + screenY(maxY)) / 2 : over ? screenY(minY) : screenY(maxY);
  const half = beside ? 0 : pinWidthPx / 2;
  return (
    <Go
      className={`act pin ${beside ? 'beside-panel' : over ? 'over-panel' : 'under-panel'}`}
      to={pathOf(`${mark}.${panel.mark}`)}
      style={{
        left: `${Math.min(look.width - half, Math.max(half, x))}px`,
        top: `${Math.min(look.height - 60, Math.max(40, y))}px`,
      }}
    >
      <span>
        {panel.mark}: {pinWords(panel)}
        <small>open on the bench</small>
      </span>
    </Go>
  );
}

function pinWords(panel: WindowPanel): string {
  if (panel.netRevision === null) return 'not drawn yet';
  if (panel.signedRevision !== panel.netRevision) return 'drawing to sign';
  return panel.findings === 0 ? 'record what you see' : `${panel.pieces} pieces`;
}

function WallPaper({
  standing,
  mayAdd,
  ready,
}: {
  standing: readonly { site: StandingWindow['site']; windows: readonly StandingWindow[] }[];
  mayAdd: boolean;
  ready: boolean;
}) {
  const safekeeping = useSafekeeping();
  if (!ready) return null;
  return (
    <article className="paper stack">
      <div>
        <h1>{standing.length === 0 ? 'An empty wall' : 'The wall'}</h1>
        <p className="sub">
          {standing.length === 0
            ? 'Begin with a site: a building whose windows you look after.'
            : 'Every site, its windows side by side as seen from inside.'}
        </p>
      </div>
      <SheetReminder />
      <SafekeepingAlarms of={safekeeping} />
      <ul className="lines">
        {standing.map(({ site, windows }) => (
          <li key={site.siteId}>
            <Go className="word" to={pathOf(siteMark(site))}>
              {siteMark(site)} {site.name}
            </Go>
            <span>{windows.length === 1 ? '1 window' : `${windows.length} windows`}</span>
          </li>
        ))}
      </ul>
      {mayAdd ? (
        <p className="row">
          <Go className={standing.length === 0 ? 'act' : 'act quiet'} to="/add-site">
            Add a site
          </Go>
        </p>
      ) : null}
      <SafekeepingLines of={safekeeping} />
    </article>
  );
}
