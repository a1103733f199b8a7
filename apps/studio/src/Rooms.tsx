import { lazy, Suspense } from 'react';
import { SheetRoom } from './keys/SheetRoom.js';
import { LensesRoom } from './lens/LensesRoom.js';
import { PeopleRoom } from './people/PeopleRoom.js';
import { useHere } from './platform/navigate.js';
import { Shell } from './platform/Shell.js';
import { useMarkPlace } from './platform/use-mark-place.js';
import { SearchRoom } from './search/SearchRoom.js';
import { AddSiteRoom } from './wall/AddSiteRoom.js';
import { AddWindowRoom } from './wall/AddWindowRoom.js';
import { WallRoom } from './wall/WallRoom.js';

// The bench brings the map engine with it; the wall and the door do not need it.
const PanelRooms = lazy(async () => ({
  default: (await import('./bench/PanelRooms.js')).PanelRooms,
}));

/** Which room the address leads to. */
export function Rooms() {
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
      <Shell mark={mark} sentence={found.why ? 'this mark leads nowhere' : 'going there…'}>
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
  if (at.panelId)
    return (
      <Suspense
        fallback={
          <Shell mark={mark} sentence="laying out the bench…">
            {null}
          </Shell>
        }
      >
        <PanelRooms key={at.panelId} at={at} panelId={at.panelId} mark={mark} act={act} />
      </Suspense>
    );
  if (act === 'add-window') return <AddWindowRoom at={at} />;
  if (act === 'redraw' && at.windowId) return <AddWindowRoom at={at} />;
  return <WallRoom at={at} act={act} />;
}
