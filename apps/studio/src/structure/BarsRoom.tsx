import { readWindow } from '../platform/api/windows.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { BarsPaper } from './BarsPaper.js';
import './structure.css';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';

/** Weight of wind and heat on the bars of a window. */
export function BarsRoom({ windowId, mark }: { windowId: string; mark: string }) {
  const found = useAnswer(windowId, (signal) => readWindow(windowId, {}, signal));
  return (
    <Shell
      mark={mark}
      sentence={<>{rich('the bars of {b} in wind and heat', { b: <b>{mark}</b> })}</>}
    >
      <div className="scroll">
        {found.value ? (
          <BarsPaper window={found.value} mark={found.value.mark} />
        ) : (
          <section className="paper">
            <p role={found.why ? 'alert' : 'status'}>{found.why ?? say('fetching the drawing…')}</p>
          </section>
        )}
      </div>
    </Shell>
  );
}
