import { rich } from '../platform/language/rich.js';
import { Shell } from '../platform/Shell.js';
import { WorkPaper } from './WorkPaper.js';

/** What was done to a place, then and now. */
export function WorkRoom({
  siteId,
  mark,
  afterwards,
}: {
  siteId: string;
  mark: string;
  afterwards: () => void;
}) {
  return (
    <Shell
      mark={mark}
      sentence={
        <>{rich('work done on {b}', { b: <b>{mark.split('.').slice(1).join('.') || mark}</b> })}</>
      }
    >
      <div className="scroll">
        <WorkPaper siteId={siteId} mark={mark} afterwards={afterwards} />
      </div>
    </Shell>
  );
}
