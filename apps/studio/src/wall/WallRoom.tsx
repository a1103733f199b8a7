import './wall.css';
import { lazy, Suspense, useState } from 'react';
import { OutsideAlarms } from '../ledger/OutsideAlarms.js';
import { type MarkPlace, siteMark } from '../platform/api/sites.js';
import { mayDo } from '../platform/api/state.js';
import type { WindowAnswer, WindowPanel } from '../platform/api/windows.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo, noteWords, setWords, useHere } from '../platform/navigate.js';
import { type Act, pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { Table } from '../platform/Table.js';
import { today as todayText } from '../platform/today.js';
import { Word } from '../platform/Word.js';
import { Legend } from './Legend.js';
import { PanelCard } from './PanelCard.js';
import { Pin } from './Pin.js';
import { SitePaper } from './SitePaper.js';
import { shows, showWords } from './showing/showing.js';
import { stepPanel } from './step-panel.js';
import { TermsChoice } from './TermsChoice.js';
import { dayNumber, dayText, sayDay } from './time/days.js';
import { toldMoments } from './time/moment.js';
import { StripOfTime } from './time/StripOfTime.js';
import { toldView, viewWords } from './told-view.js';
import { useOutlines } from './use-outlines.js';
import { useSaid, useShowings, useWords } from './use-showing.js';
import { useDetails, useWall, wantedOf } from './use-wall.js';
import { useWallLook } from './use-wall-look.js';
import { WallPaper } from './WallPaper.js';
import { WallSheet } from './WallSheet.js';
import { WindowPaper } from './WindowPaper.js';
import { boxAround, type StandingSite, type StandingWindow, windowBox } from './wall-layout.js';
import type { WallMap } from './wall-map.js';
import { panelFilling, windowsNear } from './wall-near.js';
import type { WallView } from './wall-view.js';

const PapersPaper = lazy(async () => ({
  default: (await import('../records/PapersPaper.js')).PapersPaper,
}));
const WorkPaper = lazy(async () => ({
  default: (await import('../records/WorkPaper.js')).WorkPaper,
}));

/** Wall → window → panel: one drawing, moved by typing a mark, by choosing or by zooming. */
export function WallRoom({ at, act = null }: { at: MarkPlace | null; act?: Act | null }) {
  const { words } = useHere();
  const { me } = useSession();
  const [today] = useState(todayText);
  const told = toldMoments(words);
  const { known } = told;
  const day = told.at === null ? null : dayText(told.at);
  const besideDay = told.beside === null ? null : dayText(told.beside);
  const { wall, why, again } = useWall(at?.siteId ?? null, { at: day, known });
  const what = shows.find((one) => one === words.get('show')) ?? 'work';
  const terms = (words.get('terms') ?? '').split(',').filter((term) => term !== '');
  const chosen = words.get('panel');

  const standing = wall?.standing ?? noSites;
  const site = standing.find((row) => row.site.siteId === at?.siteId);
  const window_ = site?.windows.find((hung) => hung.window.windowId === at?.windowId);
  const all = standing.flatMap((row) => row.windows);
  const box = window_
    ? withRoom(windowBox(window_))
    : site
      ? withRoom(site.box)
      : boxAround(standing.length > 0 ? standing.map((row) => withRoom(row.box)) : [emptyBox]);
  const detail = window_ ? wall?.details.get(window_.window.windowId) : undefined;
  const panel = detail?.panels.find((one) => one.mark === chosen);
  const mark = at?.fullMark ?? null;

  const wordsOf = useWords(what);
  const beside = useDetails(
    besideDay !== null && wall ? wantedOf(standing, at?.siteId ?? null) : null,
    besideDay,
    known,
  );
  const [showing, besideShowing] = useShowings(
    { what, terms, known, today, windowId: window_?.windowId ?? null },
    { details: wall?.details, at: day },
    { details: besideDay === null ? undefined : beside.value, at: besideDay },
    wordsOf,
  );
  const look = useWallLook(showing, wall?.details, window_?.windowId ?? null);
  const besideLook = useWallLook(besideShowing, beside.value, window_?.windowId ?? null);
  const [near, setNear] = useState<readonly string[]>([]);
  const outlines = useOutlines(near, wall?.details);
  const said = useSaid(showing, near, day, known);
  const besideSaid = useSaid(besideShowing, besideDay === null ? noneNear : near, besideDay, known);
  const [map, setMap] = useState<WallMap | null>(null);
  const isDrawn = (window_ ? [window_.windowId] : near).every(
    (id) =>
      outlines.has(id) ||
      wall?.details.get(id)?.panels.every(({ netRevision }) => netRevision === null),
  );

  const place = window_?.shape.places.find((one) => one.mark === chosen);
  const hung = (id: string): StandingWindow | undefined => all.find((one) => one.windowId === id);
  const choose = (id: string, panelMark: string | null) => {
    const standingWindow = hung(id);
    if (!standingWindow) return;
    const windowMark = `${siteMark(standingWindow.site)}.${standingWindow.window.mark}`;
    if (windowMark !== mark) goTo(pathOf(windowMark) + keptWords());
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
    const nearNow = windowsNear(all, view);
    setNear((before) => (before.join() === nearNow.join() ? before : nearNow));
    if (!byHand) return;
    const filled = panelFilling(all, view);
    if (filled) open(filled.windowId, filled.mark);
    else noteWords({ view: viewWords(view) });
  };
  const spoken =
    panel && window_
      ? say('{mark}: {words}, {findings} findings', {
          mark: panel.mark,
          words:
            showing.shades.find(({ key }) => key === showing.ofPanel(window_.windowId, panel))
              ?.words ?? '',
          findings: panel.findings,
        })
      : window_
        ? window_.window.title
        : '';
  const shownPanels = (details: ReadonlyMap<string, WindowAnswer> | undefined) =>
    panelsOf(details, window_?.windowId ?? null);
  const panels = shownPanels(wall?.details);
  const isPast = day !== null || known !== null;
  const elevation = window_
    ? say(
        'Elevation of {mark} from inside. Arrow keys step from panel to panel, Enter opens the bench, plus and minus zoom.',
        { mark: mark ?? '' },
      )
    : say('The wall: every window as drawn. Plus and minus zoom.');
  const sheet = {
    rows: standing,
    outlines,
    box,
    boxKey: `${mark ?? 'wall'} ${all.length}`,
    told: toldView(words.get('view')),
    chosen: window_ && place ? { at: window_, place } : null,
    onKey: step,
    onPanel: (id: string, { mark: panelMark }: { mark: string }) => {
      choose(id, panelMark);
    },
    onOpen: (id: string, { mark: panelMark }: { mark: string }) => {
      open(id, panelMark);
    },
    onWindow: (id: string) => {
      choose(id, null);
    },
    onName: (row: number) => {
      const named = standing[row];
      if (named) goTo(pathOf(siteMark(named.site)));
    },
    onRest: rested,
  };
  // A view that moves is drawn by the map alone while nothing is pinned to it.
  const pinned =
    window_ && panel && !isPast && besideDay === null
      ? {
          over: (view: WallView) => (
            <Pin at={window_} panel={panel} look={view} mark={mark ?? ''} />
          ),
        }
      : {};
  return (
    <Shell
      mark={mark}
      sentence={
        standing.length === 0 && wall ? (
          say('nothing stands on the wall yet')
        ) : (
          <>
            {rich('showing {word}{what}, from <b>inside</b>', {
              word: (
                <Word
                  label={say('What is shown')}
                  value={what}
                  options={shows.map((one) => [one, showWords[one]] as const)}
                  onChoose={(value) => {
                    setWords({ show: value });
                  }}
                />
              ),
              what:
                what === 'terms' ? (
                  <TermsChoice
                    panels={[...panels.values()].flat()}
                    terms={terms}
                    wordsOf={wordsOf}
                    onTerms={(next) => {
                      setWords({ terms: next.length === 0 ? null : next.join(',') });
                    }}
                  />
                ) : null,
              b: (words) => <b>{words}</b>,
            })}
          </>
        )
      }
    >
      <Table
        papers={
          panel
            ? say('the record of {mark}', { mark: panel.mark })
            : window_
              ? say('the window’s record')
              : say('the records')
        }
        startOpen={act !== null}
        drawing={
          <div className="wall-stage">
            <div className="wall-sheets">
              {why ? (
                <p role="alert" className="over-drawing refused on-ground">
                  {why}
                </p>
              ) : null}
              {wall ? (
                <div className="wall-pane" aria-busy={!wall.isSettled}>
                  <WallSheet
                    {...sheet}
                    look={look}
                    said={said}
                    isComing={!isDrawn}
                    label={elevation}
                    onMap={setMap}
                    {...pinned}
                  />
                  {besideDay === null ? null : (
                    <p className="pane-day">{told.at === null ? say('today') : sayDay(told.at)}</p>
                  )}
                </div>
              ) : why ? null : (
                <p className="over-drawing" role="status">
                  {say('hanging the windows…')}
                </p>
              )}
              {besideDay === null || !wall ? null : (
                <div className="wall-pane" aria-busy={!beside.isSettled}>
                  <WallSheet
                    {...sheet}
                    look={besideLook}
                    said={besideSaid}
                    label={say('The same up to {besideDay}. {elevation}', { besideDay, elevation })}
                    pair={map}
                  />
                  <p className="pane-day second">{sayDay(dayNumber(besideDay))}</p>
                </div>
              )}
              {detail?.asOf.inArchive === false ? (
                <p className="over-drawing" role="status">
                  {say('This window was not in the archive then.')}
                </p>
              ) : null}
              {all.length > 0 ? (
                <Legend
                  showing={showing}
                  panels={panels}
                  beside={besideDay === null ? undefined : shownPanels(beside.value)}
                />
              ) : null}
            </div>
            {wall && all.length > 0 ? (
              <StripOfTime
                happenings={window_ ? wall.happenings.filter(isAbout(mark ?? '')) : wall.happenings}
                today={dayNumber(today)}
                days={told}
                known={known}
                onDays={(days) => {
                  setWords({
                    at: days.at === null ? null : dayText(days.at),
                    beside: days.beside === null ? null : dayText(days.beside),
                  });
                }}
                onKnown={(value) => {
                  setWords({ known: value });
                }}
              />
            ) : null}
            <p className="unseen" aria-live="polite">
              {spoken}
            </p>
          </div>
        }
        beside={
          act === 'papers' && at ? (
            <Suspense fallback={null}>
              <PapersPaper siteId={at.siteId} mark={at.fullMark} />
            </Suspense>
          ) : act === 'work' && at ? (
            <Suspense fallback={null}>
              <WorkPaper siteId={at.siteId} mark={at.fullMark} afterwards={again} />
            </Suspense>
          ) : panel && window_ && mark ? (
            <PanelCard
              key={panel.panelId}
              panel={panel}
              mark={`${mark}.${panel.mark}`}
              isPast={isPast}
              afterwards={again}
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
const noneNear: readonly string[] = [];
const emptyBox = { minX: 0, minY: 0, maxX: 6000, maxY: 4000 };

/** Going to another window keeps what is shown and when. */
function keptWords(): string {
  const words = new URLSearchParams(window.location.search);
  for (const own of ['panel', 'view']) words.delete(own);
  return words.size === 0 ? '' : `?${words.toString()}`;
}

const isAbout =
  (mark: string) =>
  ({ marks }: { readonly marks: readonly string[] }): boolean =>
    marks.some((one) => one === mark || one.startsWith(`${mark}.`) || mark.startsWith(`${one}.`));

/** Panels by window: of the one that one stands before, else of all. */
function panelsOf(
  details: ReadonlyMap<string, WindowAnswer> | undefined,
  windowId: string | null,
): ReadonlyMap<string, readonly WindowPanel[]> {
  return new Map(
    [...(details ?? [])]
      .filter(([id]) => windowId === null || id === windowId)
      .map(([id, { panels }]) => [id, panels]),
  );
}

/** Room for the names under the sill and the row numbers at the side. */
function withRoom(box: { minX: number; minY: number; maxX: number; maxY: number }) {
  const h = box.maxY - box.minY;
  return { ...box, minX: box.minX - h * 0.02, maxY: box.maxY + h * 0.09 };
}
