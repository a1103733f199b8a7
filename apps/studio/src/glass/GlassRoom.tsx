import { useMemo, useState } from 'react';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import { readChoices, readCutCost, readCutList, readSheets } from '../platform/api/glass.js';
import { readCampaigns, readMaterials } from '../platform/api/works.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAnswer } from '../platform/use-answer.js';
import { useRested, useStanding } from '../platform/use-standing.js';
import { ChoosePaper } from './ChoosePaper.js';
import { CostPaper } from './CostPaper.js';
import { CutListPaper } from './CutListPaper.js';
import { glassLetters } from './glass-letters.js';
import { MadePaper } from './MadePaper.js';
import { PiecesDrawing } from './PiecesDrawing.js';
import { SheetForm } from './SheetForm.js';
import { SheetsDrawing } from './SheetsDrawing.js';
import './glass.css';

/** New work: glass for the pieces of a signed drawing, what is cut from which sheet, and what it costs. */
export function GlassRoom({ bench }: { bench: Bench }) {
  const { panel, net, traced } = bench;
  const isSigned = !traced && panel.signedRevision !== null;
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [view, setView] = useState<'pieces' | 'sheets'>('pieces');
  const [typed, setTyped] = useState({ gap: '4', edge: '10' });
  const [currency, setCurrency] = useState<string>();
  const [turn, setTurn] = useState(0);
  const rested = useRested(typed);
  const asked = useMemo(
    () => ({
      gapMm: clamped(readNumber(rested.gap), 4, 50),
      edgeMm: clamped(readNumber(rested.edge), 10, 200),
    }),
    [rested],
  );
  const key = isSigned ? `${panel.panelId} ${turn}` : null;
  const withKey = (what: string) => (key === null ? null : `${what} ${key}`);
  const choices = useAnswer(withKey('glass'), (signal) => readChoices(panel.panelId, signal));
  const register = useAnswer(withKey('materials'), readMaterials);
  const sheets = useAnswer(withKey('sheets'), readSheets);
  const wanted = `${asked.gapMm} ${asked.edgeMm}`;
  const list = useAnswer(withKey(`cut list ${wanted}`), (signal) =>
    readCutList(panel.panelId, asked, signal),
  );
  const laid = useStanding(panel.panelId, list.value);
  const code = currency !== undefined && /^[A-Z]{3}$/.test(currency) ? { currency } : {};
  const cost = useAnswer(withKey(`cost ${wanted} ${code.currency}`), (signal) =>
    readCutCost(panel.panelId, { ...asked, ...code }, signal),
  );
  const reckoned = useStanding(panel.panelId, cost.value);
  const campaigns = useAnswer(withKey('campaigns'), (signal) =>
    readCampaigns(panel.siteId, signal),
  );
  const byPiece = useMemo(
    () => new Map((choices.value ?? []).map((one) => [one.piece, one])),
    [choices.value],
  );
  const letters = useMemo(() => glassLetters(choices.value ?? []), [choices.value]);
  const afterwards = () => {
    setTurn(turn + 1);
    bench.again();
  };
  const pieces = net.pieces.map(({ pieceId }) => pieceId);
  const open = (campaigns.value ?? []).filter(({ state }) => state === 'open');
  if (!isSigned)
    return (
      <Shell mark={panel.fullMark} sentence={say('glass for new work')}>
        <div className="scroll">
          <section className="paper stack">
            <h1>{say('Glass for pieces')}</h1>
            <p>{say('Sign the lead drawing first: glass is chosen piece by piece, by number.')}</p>
            <ToBench mark={panel.fullMark} />
          </section>
        </div>
      </Shell>
    );
  return (
    <Shell mark={panel.fullMark} sentence={rich('glass for {b}', { b: <b>{panel.fullMark}</b> })}>
      <Table
        papers={say('glass and cut list')}
        drawing={
          <>
            <div className="glass-view">
              <OneOf
                legend={say('Shown')}
                options={['pieces', 'sheets'] as const}
                value={view}
                onValue={setView}
                words={(one) => ({ pieces: say('the panel'), sheets: say('the sheets') })[one]}
              />
            </div>
            {view === 'pieces' || laid === undefined ? (
              <PiecesDrawing
                net={net}
                mark={panel.fullMark}
                choices={byPiece}
                letters={letters}
                chosen={chosen}
                onToggle={(piece) => {
                  setChosen(
                    chosen.includes(piece)
                      ? chosen.filter((one) => one !== piece)
                      : [...chosen, piece],
                  );
                }}
              />
            ) : (
              <SheetsDrawing list={laid} letters={letters} />
            )}
          </>
        }
        beside={
          <>
            <ChoosePaper
              panelId={panel.panelId}
              pieces={pieces}
              chosen={chosen}
              onChosen={setChosen}
              choices={byPiece}
              sheets={sheets.value?.items ?? []}
              register={register.value ?? []}
              afterwards={afterwards}
            />
            <section className="paper stack">
              <details>
                <summary>{say('Enter a glass')}</summary>
                <SheetForm afterwards={afterwards} />
              </details>
            </section>
            {list.why ? (
              <section className="paper">
                <p role="alert">{list.why}</p>
              </section>
            ) : null}
            {laid === undefined || byPiece.size === 0 ? null : (
              <CutListPaper
                panelId={panel.panelId}
                list={laid}
                letters={letters}
                typed={typed}
                onTyped={setTyped}
                asked={asked}
              />
            )}
            {reckoned === undefined || byPiece.size === 0 ? null : (
              <CostPaper
                mark={panel.fullMark}
                siteMark={panel.fullMark.split('.')[0]!}
                cost={reckoned}
                campaigns={open}
                currency={currency ?? reckoned.currencies[0] ?? 'EUR'}
                onCurrency={setCurrency}
              />
            )}
            {laid === undefined || byPiece.size === 0 ? null : (
              <MadePaper
                panelId={panel.panelId}
                siteId={panel.siteId}
                list={laid}
                letters={letters}
                afterwards={afterwards}
              />
            )}
          </>
        }
      />
    </Shell>
  );
}

function clamped(value: number | undefined, usual: number, most: number): number {
  return value === undefined || value < 0 || value > most ? usual : value;
}
