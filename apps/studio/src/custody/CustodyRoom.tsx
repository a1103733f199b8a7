import { useState } from 'react';
import { readCrates, readSequence, readWhereabouts } from '../platform/api/custody.js';
import type { MarkPlace } from '../platform/api/sites.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import './custody.css';
import { CementPaper } from './CementPaper.js';
import { HandsPaper } from './HandsPaper.js';
import { ListOnPaper } from './ListOnPaper.js';
import { PackPaper } from './PackPaper.js';
import { ProtectPaper } from './ProtectPaper.js';
import { PutBackPaper } from './PutBackPaper.js';
import { TakeOutPaper } from './TakeOutPaper.js';
import { WherePaper } from './WherePaper.js';

const parts = ['out', 'protect', 'pack', 'hands', 'cement', 'back', 'where'] as const;
type Part = (typeof parts)[number];

/** Panels of a window out of their openings, into crates and other hands, and back: one thumb, one task. */
export function CustodyRoom({ at, mark }: { at: MarkPlace; mark: string }) {
  const [part, setPart] = useState<Part>('out');
  const { siteId } = at;
  const windowId = at.windowId!;
  const sequence = useAnswer(`sequence ${windowId}`, (signal) => readSequence(windowId, signal));
  const where = useAnswer(`where ${windowId}`, (signal) => readWhereabouts(windowId, signal));
  const crates = useAnswer(`crates ${siteId}`, (signal) => readCrates(siteId, signal));
  const again = () => {
    sequence.again();
    where.again();
    crates.again();
  };
  const words: Readonly<Record<Part, string>> = {
    out: say('take out'),
    protect: say('close openings'),
    pack: say('pack'),
    hands: say('hand over'),
    cement: say('cement'),
    back: say('put back'),
    where: say('where is it?'),
  };
  const why = sequence.why ?? where.why ?? crates.why;
  const isRead = sequence.value && where.value && crates.value;
  return (
    <Shell
      mark={mark}
      sentence={<>{rich('the panels of {b}, out and back', { b: <b>{mark}</b> })}</>}
    >
      <div className="scroll">
        <section className="paper custody" aria-busy={!isRead}>
          <h1>{say('Custody of {mark}', { mark })}</h1>
          <OneOf
            legend={say('What is being done')}
            options={parts}
            value={part}
            onValue={setPart}
            words={(one) => words[one]}
          />
          {isRead ? null : (
            <p role={why ? 'alert' : 'status'}>{why ?? say('asking where everything is…')}</p>
          )}
          {isRead && part === 'out' ? (
            <>
              <ListOnPaper of={{ windowId }} list="removal" />
              <TakeOutPaper
                steps={sequence.value.removal}
                windowId={windowId}
                mark={mark}
                afterwards={again}
              />
            </>
          ) : null}
          {part === 'protect' ? <ProtectPaper windowId={windowId} /> : null}
          {isRead && part === 'pack' ? (
            <PackPaper
              siteId={siteId}
              mark={mark}
              windowId={windowId}
              crates={crates.value}
              where={where.value}
              steps={sequence.value.removal}
              afterwards={again}
            />
          ) : null}
          {isRead && part === 'hands' ? (
            <HandsPaper siteId={siteId} crates={crates.value} afterwards={again} />
          ) : null}
          {isRead && part === 'cement' ? (
            <CementPaper steps={sequence.value.refixing} windowId={windowId} afterwards={again} />
          ) : null}
          {isRead && part === 'back' ? (
            <>
              <ListOnPaper of={{ windowId }} list="refixing" />
              <PutBackPaper
                steps={sequence.value.refixing}
                windowId={windowId}
                mark={mark}
                afterwards={again}
              />
            </>
          ) : null}
          {isRead && part === 'where' ? <WherePaper mark={mark} where={where.value} /> : null}
        </section>
      </div>
    </Shell>
  );
}
