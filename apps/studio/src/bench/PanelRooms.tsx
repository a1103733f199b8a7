import './bench.css';
import { ApartRoom } from '../apart/ApartRoom.js';
import { CompareRoom } from '../compare/CompareRoom.js';
import { RebuildRoom } from '../custody/RebuildRoom.js';
import { DrawRoom } from '../edit/DrawRoom.js';
import { FoundRoom } from '../found/FoundRoom.js';
import { GlassRoom } from '../glass/GlassRoom.js';
import { ImportRoom } from '../import/ImportRoom.js';
import type { MarkPlace } from '../platform/api/sites.js';
import { say } from '../platform/language/say.js';
import type { Act } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { PrintRoom } from '../print/PrintRoom.js';
import { PapersRoom } from '../records/PapersRoom.js';
import { WorkRoom } from '../records/WorkRoom.js';
import { LayRoom } from '../rubbing/LayRoom.js';
import { RubbingRoom } from '../rubbing/RubbingRoom.js';
import { ShardsRoom } from '../shards/ShardsRoom.js';
import { BulgeRoom } from '../survey/BulgeRoom.js';
import { WeightRoom } from '../survey/WeightRoom.js';
import { SendRoom } from '../upload/SendRoom.js';
import { BenchRoom } from './BenchRoom.js';
import { useBench } from './use-bench.js';

/** Every room of one panel; its record is asked for once. */
export function PanelRooms({
  at,
  panelId,
  mark,
  act,
}: {
  at: MarkPlace;
  panelId: string;
  mark: string;
  act: Act | null;
}) {
  const { bench, why } = useBench(panelId);
  if (!bench)
    return (
      <Shell mark={mark} sentence={why ? '' : say('laying out the bench…')}>
        {why ? (
          <div className="scroll">
            <section className="paper">
              <h1>{mark}</h1>
              <p role="alert">{why}</p>
            </section>
          </div>
        ) : null}
      </Shell>
    );
  switch (act) {
    case 'draw':
      return <DrawRoom bench={bench} />;
    case 'send':
      return <SendRoom bench={bench} />;
    case 'rub':
      return <RubbingRoom bench={bench} />;
    case 'lay':
      return <LayRoom bench={bench} />;
    case 'found':
      return <FoundRoom bench={bench} />;
    case 'compare':
      return <CompareRoom bench={bench} />;
    case 'apart':
      return <ApartRoom bench={bench} />;
    case 'rebuild':
      return <RebuildRoom bench={bench} />;
    case 'print':
      return <PrintRoom bench={bench} />;
    case 'glass':
      return <GlassRoom bench={bench} />;
    case 'import':
      return <ImportRoom bench={bench} />;
    case 'bulge':
      return <BulgeRoom bench={bench} />;
    case 'weight':
      return <WeightRoom bench={bench} />;
    case 'shards':
      return <ShardsRoom bench={bench} mark={mark} />;
    case 'work':
      return <WorkRoom siteId={at.siteId} mark={mark} afterwards={bench.again} />;
    case 'papers':
      return <PapersRoom siteId={at.siteId} mark={mark} />;
    default:
      return <BenchRoom bench={bench} mark={mark} act={act} />;
  }
}
