import { readWindow } from '../platform/api/windows.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { BarsPaper } from './BarsPaper.js';
import './structure.css';

/** Weight of wind and heat on the bars of a window. */
export function BarsRoom({ windowId, mark }: { windowId: string; mark: string }) {
  const found = useAnswer(windowId, (signal) => readWindow(windowId, {}, signal));
  return (
    <Shell
      mark={mark}
      sentence={
        <>
          the bars of <b>{mark}</b> in wind and heat
        </>
      }
    >
      <div className="scroll">
        {found.value ? (
          <BarsPaper window={found.value} mark={found.value.mark} />
        ) : (
          <section className="paper">
            <p role={found.why ? 'alert' : 'status'}>{found.why ?? 'fetching the drawing…'}</p>
          </section>
        )}
      </div>
    </Shell>
  );
}
