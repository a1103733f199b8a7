import { lazy, Suspense } from 'react';
import { say } from './platform/language/say.js';
import { useHere } from './platform/navigate.js';
import { Shell } from './platform/Shell.js';
import { useMarkPlace } from './platform/use-mark-place.js';
import { WallRoom } from './wall/WallRoom.js';

// Each room comes when one goes there, so that the wall is not kept waiting for the others.
const AddSiteRoom = lazy(async () => ({
  default: (await import('./wall/AddSiteRoom.js')).AddSiteRoom,
}));
const AddWindowRoom = lazy(async () => ({
  default: (await import('./wall/AddWindowRoom.js')).AddWindowRoom,
}));
const BarsRoom = lazy(async () => ({
  default: (await import('./structure/BarsRoom.js')).BarsRoom,
}));
const CustodyRoom = lazy(async () => ({
  default: (await import('./custody/CustodyRoom.js')).CustodyRoom,
}));
const EstimateRoom = lazy(async () => ({
  default: (await import('./estimate/EstimateRoom.js')).EstimateRoom,
}));
const LensesRoom = lazy(async () => ({
  default: (await import('./lens/LensesRoom.js')).LensesRoom,
}));
const PanelRooms = lazy(async () => ({
  default: (await import('./bench/PanelRooms.js')).PanelRooms,
}));
const PeopleRoom = lazy(async () => ({
  default: (await import('./people/PeopleRoom.js')).PeopleRoom,
}));
const RankingRoom = lazy(async () => ({
  default: (await import('./survey/RankingRoom.js')).RankingRoom,
}));
const SearchRoom = lazy(async () => ({
  default: (await import('./search/SearchRoom.js')).SearchRoom,
}));
const SheetRoom = lazy(async () => ({
  default: (await import('./keys/SheetRoom.js')).SheetRoom,
}));
const TestsRoom = lazy(async () => ({
  default: (await import('./tests/TestsRoom.js')).TestsRoom,
}));
const WorksRoom = lazy(async () => ({
  default: (await import('./works/WorksRoom.js')).WorksRoom,
}));
const SurveyRoom = lazy(async () => ({
  default: (await import('./survey/SurveyRoom.js')).SurveyRoom,
}));

/** Which room the address leads to. */
export function Rooms() {
  return (
    <Suspense
      fallback={
        <Shell mark={null} sentence={say('going there…')}>
          {null}
        </Shell>
      }
    >
      <Room />
    </Suspense>
  );
}

function Room() {
  const { place, words } = useHere();
  if (place.on === 'people') return <PeopleRoom />;
  if (place.on === 'lenses') return <LensesRoom />;
  if (place.on === 'recovery-sheet') return <SheetRoom />;
  if (place.on === 'search') return <SearchRoom words={words} />;
  if (place.on === 'add-site') return <AddSiteRoom />;
  if (place.on === 'wall' || place.on === 'phone') return <WallRoom at={null} />;
  return <MarkRoom mark={place.mark} />;
}

function MarkRoom({ mark }: { mark: string }) {
  const { place } = useHere();
  const found = useMarkPlace(mark);
  const act = place.on === 'mark' ? place.act : null;
  if (!found.value)
    return (
      <Shell
        mark={mark}
        sentence={found.why ? say('this mark leads nowhere') : say('going there…')}
      >
        {found.why ? (
          <div className="scroll">
            <section className="paper">
              <h1>{mark}</h1>
              <p role="alert">{found.why}</p>
            </section>
          </div>
        ) : null}
      </Shell>
    );
  const at = found.value;
  if (act === 'tests') return <TestsRoom key={mark} at={at} mark={mark} />;
  if (act === 'works') return <WorksRoom key={at.siteId} at={at} />;
  if (act === 'estimate') return <EstimateRoom key={at.siteId} at={at} />;
  if (at.panelId)
    return (
      <Suspense
        fallback={
          <Shell mark={mark} sentence={say('laying out the bench…')}>
            {null}
          </Shell>
        }
      >
        <PanelRooms key={at.panelId} at={at} panelId={at.panelId} mark={mark} act={act} />
      </Suspense>
    );
  if (act === 'bars' && at.windowId) return <BarsRoom windowId={at.windowId} mark={mark} />;
  if (act === 'custody' && at.windowId) return <CustodyRoom at={at} mark={mark} />;
  if (act === 'survey' && at.windowId) return <SurveyRoom windowId={at.windowId} mark={mark} />;
  if (act === 'ranking') return <RankingRoom siteId={at.siteId} mark={mark} />;
  if (act === 'add-window') return <AddWindowRoom at={at} />;
  if (act === 'redraw' && at.windowId) return <AddWindowRoom at={at} />;
  return <WallRoom at={at} act={act} />;
}
