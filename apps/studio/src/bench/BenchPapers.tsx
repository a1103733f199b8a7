import type { ReactNode } from 'react';
import type { NetPiece } from '#libs/net';
import { RevisionsPaper } from '../compare/RevisionsPaper.js';
import { setWords } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { CarryOverPaper } from './CarryOverPaper.js';
import { DoubtsPaper } from './DoubtsPaper.js';
import { PanelPaper } from './PanelPaper.js';
import { PicturesPaper } from './PicturesPaper.js';
import { PiecePaper } from './PiecePaper.js';
import type { Doubt } from './panel-record.js';
import type { Bench } from './use-bench.js';

/** The papers that lie beside a panel, or beside one piece of it. */
export function BenchPapers({
  bench,
  piece,
  inNet,
  doubts,
  doubt,
  onDoubt,
  children,
}: {
  bench: Bench;
  piece: string | null;
  inNet: NetPiece | undefined;
  /** null: not asked for */
  doubts: readonly Doubt[] | null;
  doubt: string | null;
  onDoubt: (doubt: string | null) => void;
  /** findings and what else is last */
  children: ReactNode;
}) {
  const { panel, nets } = bench;
  return (
    <>
      {piece !== null && inNet ? (
        <PiecePaper bench={bench} inNet={inNet} />
      ) : (
        <PanelPaper bench={bench} />
      )}
      {doubts === null ? null : (
        <DoubtsPaper
          doubts={doubts}
          chosen={doubt}
          draw={`${pathOf(panel.fullMark, 'draw')}?doubts=yes`}
          found={
            nets.some((one) => one.revision === panel.netRevision && one.reading)
              ? pathOf(panel.fullMark, 'found', 'leads')
              : null
          }
          onChoose={onDoubt}
          onClose={() => {
            onDoubt(null);
            setWords({ doubts: null });
          }}
        />
      )}
      <CarryOverPaper bench={bench} />
      {piece === null ? <RevisionsPaper bench={bench} /> : null}
      {piece === null ? <PicturesPaper bench={bench} /> : null}
      {children}
    </>
  );
}
