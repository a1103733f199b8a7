import { useState } from 'react';
import { keyholeRing } from '#libs/net';
import type { Bench } from '../bench/use-bench.js';
import { recordFinding } from '../platform/api/findings.js';
import { type Kept, keepJoining, missingPath, withdrawJoining } from '../platform/api/shards.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { sayAreaMm2, sayFixed } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { BondForm } from './BondForm.js';
import type { Table } from './use-laid.js';

/** The assembly is kept; from what is kept the bond is recorded, the loss, and the shape for an infill. */
export function KeepPaper({
  bench,
  piece,
  assemblyId,
  kept,
  table,
  again,
}: {
  bench: Bench;
  piece: string;
  assemblyId: string;
  kept: Kept | null;
  table: Table;
  again: () => void;
}) {
  const { panelId } = bench.panel;
  const [note, setNote] = useState('');
  const { busy, why, run } = useAct();
  const keep = () =>
    void run(async () => {
      await keepJoining(panelId, piece, {
        assemblyId,
        laid: table.laid.map(({ shard, pose, isLocked, laidBy }) => ({
          shard,
          pose,
          isLocked,
          laidBy,
        })),
        apart: table.apart.map(([a, b]): [string, string] => [a, b]),
        happened: today(),
        ...(note.trim() === '' ? {} : { note }),
      });
      setNote('');
      again();
    });
  return (
    <section className="paper stack" aria-label={say('Keep the assembly')}>
      <h2>{say('Keep the assembly')}</h2>
      {kept === null ? (
        <p className="sub">{say('Nothing is kept yet. What you move stays in this browser.')}</p>
      ) : (
        <p role="status">
          {say('Kept: {percent} % covered, {joints, plural, one {# joint} other {# joints}}.', {
            percent: sayFixed((kept.coverageRatio ?? 0) * 100, 1),
            joints: kept.joints.length,
          })}
        </p>
      )}
      <TextField label={say('Note')} rows={2} value={note} onValue={setNote} />
      <Refusal why={why} />
      <p className="row">
        <button type="button" disabled={busy || table.laid.length === 0} onClick={keep}>
          {kept === null ? say('Keep this assembly') : say('Keep this one instead')}
        </button>
      </p>
      {kept === null ? null : (
        <>
          {kept.missing.length === 0 ? null : (
            <MissingGlass key={kept.joiningId} bench={bench} piece={piece} kept={kept} />
          )}
          <BondForm bench={bench} piece={piece} kept={kept} />
          <TakeBack kept={kept} again={again} />
        </>
      )}
    </section>
  );
}

/** The shape to cut an infill from, and the loss as a finding of the piece. */
function MissingGlass({ bench, piece, kept }: { bench: Bench; piece: string; kept: Kept }) {
  const [done, setDone] = useState(false);
  const { busy, why, run } = useAct();
  const record = () =>
    void run(async () => {
      for (const [i, { ringsMm }] of kept.missing.entries())
        await recordFinding(
          bench.panel.panelId,
          {
            term: 'glass.loss.part',
            inPanel: piece,
            face: 'inside',
            geometry: { kind: 'area', xyMm: keyholed(ringsMm) },
            note: say('missing after the shards were put together'),
          },
          // the same loss of the same assembly is recorded once
          `${kept.joiningId}-${i}`,
        );
      bench.findingsAgain();
      setDone(true);
    });
  return (
    <div className="stack">
      <h3>{say('Missing glass, {area}', { area: sayAreaMm2(kept.missingMm2) })}</h3>
      <p className="row">
        <a
          className="act quiet"
          href={missingPath(kept.joiningId, 'svg', false)}
          target="_blank"
          rel="noreferrer"
        >
          {say('Shape 1:1, SVG')}
        </a>
        <a className="act quiet" href={missingPath(kept.joiningId, 'dxf', false)} download>
          {say('Shape 1:1, DXF')}
        </a>
        <a
          className="act quiet"
          href={missingPath(kept.joiningId, 'svg', true)}
          target="_blank"
          rel="noreferrer"
        >
          {say('Turned over, SVG')}
        </a>
      </p>
      <p className="hint">{say('Lay a print over the gap before you cut.')}</p>
      <p className="row">
        <button type="button" className="quiet" disabled={busy || done} onClick={record}>
          {say('Record the loss as a finding')}
        </button>
        {done ? <span role="status">{say('The loss is recorded.')}</span> : null}
      </p>
      <Refusal why={why} />
    </div>
  );
}

function keyholed([outer, ...holes]: Kept['missing'][number]['ringsMm']): [number, number][] {
  return keyholeRing(outer ?? [], holes).map(([x, y]): [number, number] => [x, y]);
}

function TakeBack({ kept, again }: { kept: Kept; again: () => void }) {
  const [reason, setReason] = useState('');
  const { busy, why, run } = useAct();
  return (
    <details className="how">
      <summary>{say('Take it back')}</summary>
      <div className="stack">
        <TextField label={say('Why it is taken back')} value={reason} onValue={setReason} />
        <Refusal why={why} />
        <p className="row">
          <button
            type="button"
            className="quiet"
            disabled={busy || reason.trim() === ''}
            onClick={() =>
              void run(async () => {
                await withdrawJoining(kept.joiningId, reason);
                again();
              })
            }
          >
            {say('Take the kept assembly back')}
          </button>
        </p>
      </div>
    </details>
  );
}
