import { rich } from '../platform/language/rich.js';
import { Shell } from '../platform/Shell.js';
import { PapersPaper } from './PapersPaper.js';

/** Records and dossier of a place. */
export function PapersRoom({ siteId, mark }: { siteId: string; mark: string }) {
  return (
    <Shell mark={mark} sentence={<>{rich('records of {b}', { b: <b>{mark}</b> })}</>}>
      <div className="scroll">
        <PapersPaper siteId={siteId} mark={mark} />
      </div>
    </Shell>
  );
}
