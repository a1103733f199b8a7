import { type SubmitEvent, useState } from 'react';
import type { NetPiece } from '#libs/net';
import { type FindingTerm, measureFinding, measureText } from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import type { BenchMap } from '../drawing/bench-map.js';
import { pieceAt } from '../drawing/net-geometry.js';
import type { Xy } from '../drawing/plane.js';
import { type GeometryKind, recordFinding } from '../platform/api/findings.js';
import type { Face } from '../platform/api/panels.js';
import { Field } from '../platform/Field.js';
import { goTo } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { TermPicker } from './TermPicker.js';
import { useSketch } from './use-sketch.js';

const howTo: Readonly<Record<GeometryKind, string>> = {
  line: 'Tap along it; tap the last point again to end.',
  area: 'Tap round its edge; tap the first point again to close.',
  point: 'Tap the place.',
};

/** One finding: a term, its drawing in millimetres, who saw it on which face and when. */
export function FindPaper({
  bench,
  map,
  term: termKey,
  mark,
  pictureId,
}: {
  bench: Bench;
  map: BenchMap | null;
  term: string | null;
  mark: string;
  /** picture under the drawing, offered as evidence */
  pictureId: string | null;
}) {
  const { panel, net, terms } = bench;
  const term = terms.find((candidate) => candidate.key === termKey) ?? null;
  const back = () => {
    goTo(pathOf(mark) + window.location.search);
  };
  if (!term)
    return (
      <section className="paper stack">
        <h2>What do you see?</h2>
        <TermPicker
          terms={terms}
          onPick={(picked) => {
            goTo(pathOf(mark, 'find', picked.key) + window.location.search);
          }}
        />
        <p className="row">
          <button type="button" className="quiet" onClick={back}>
            Back to the bench
          </button>
        </p>
      </section>
    );
  return (
    <FindForm
      bench={bench}
      map={map}
      term={term}
      net={net}
      panel={panel}
      pictureId={pictureId}
      back={back}
    />
  );
}

function FindForm({
  bench,
  map,
  term,
  net,
  panel,
  pictureId,
  back,
}: {
  bench: Bench;
  map: BenchMap | null;
  term: FindingTerm;
  net: Bench['net'];
  panel: Bench['panel'];
  pictureId: string | null;
  back: () => void;
}) {
  const kinds = term.geometries;
  const [kind, setKind] = useState<GeometryKind>(kinds[0] ?? 'point');
  const [face, setFace] = useState<Face>(net.face);
  const [note, setNote] = useState('');
  const [happened, setHappened] = useState(today());
  const [evidence, setEvidence] = useState(true);
  const sketch = useSketch(map, kind, term.sign);
  const { busy, why, run } = useAct();
  const enough = sketch.xyMm.length >= { point: 1, line: 2, area: 3 }[kind];
  const inside = sketch.xyMm[0] ? pieceAt(net, middleOf(sketch.xyMm)) : undefined;
  const live = measureOf(term, kind, sketch.xyMm, inside);

  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await recordFinding(panel.panelId, {
        term: term.key,
        geometry: { kind, xyMm: sketch.xyMm.map(([x, y]) => [round(x), round(y)]) },
        face,
        layer: net.layer,
        ...(bench.traced || panel.netRevision === null ? {} : { netRevision: panel.netRevision }),
        ...(evidence && pictureId ? { evidence: [pictureId] } : {}),
        ...(happened === '' ? {} : { happened }),
        ...(note === '' ? {} : { note }),
      });
      sketch.clear();
      bench.again();
      back();
    });
  };
  return (
    <form className="paper stack" onSubmit={record} aria-label={`Record: ${term.label}`}>
      <div>
        <h2>{term.label}</h2>
        <p className="sub">{term.definition}</p>
      </div>
      <output className="live" aria-live="polite">
        {sketch.xyMm.length === 0
          ? 'nothing drawn yet'
          : [live, inside ? `in piece ${inside.pieceId}` : 'in no piece']
              .filter((words) => words !== '')
              .join(', ')}
      </output>
      {sketch.xyMm.length > 0 ? (
        <div className="row">
          <button type="button" className="quiet" onClick={sketch.takeBack}>
            Take the last point back
          </button>
          {enough && !sketch.ended && kind !== 'point' ? (
            <button type="button" className="quiet" onClick={sketch.end}>
              That is all of it
            </button>
          ) : null}
          {kinds.length > 1 ? (
            <OneOf
              legend="Draw it as"
              options={kinds}
              value={kind}
              onValue={setKind}
              words={(value) => ({ point: 'a place', line: 'a line', area: 'an outline' })[value]}
            />
          ) : null}
          <p className="hint">
            {howTo[kind]} Enter adds a point in the middle of the view, Backspace takes one back.
          </p>
        </div>
      ) : null}
      <OneOf
        legend="Seen on the face"
        options={['inside', 'outside'] as const}
        value={face}
        onValue={setFace}
      />
      <Field label="Note">
        {(ids) => (
          <textarea
            {...ids}
            rows={2}
            value={note}
            onChange={(event) => {
              setNote(event.target.value);
            }}
          />
        )}
      </Field>
      <Field label="Seen on" hint="2026-11-25, 2019, or 1998~ for about">
        {(ids) => (
          <input
            {...ids}
            value={happened}
            onChange={(event) => {
              setHappened(event.target.value);
            }}
          />
        )}
      </Field>
      {pictureId ? (
        <label className="tick">
          <input
            type="checkbox"
            checked={evidence}
            onChange={(event) => {
              setEvidence(event.target.checked);
            }}
          />
          The picture under the drawing shows it
        </label>
      ) : null}
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy || !enough}>
          {busy ? 'Recording…' : 'Record this finding'}
        </button>
        <button type="button" className="quiet" onClick={back}>
          Leave it
        </button>
      </div>
    </form>
  );
}

const round = (value: number) => Math.round(value * 1000) / 1000;

/** As the archive will measure it: '11.8 cm², 18 % of the piece'. */
function measureOf(
  term: FindingTerm,
  kind: GeometryKind,
  xyMm: readonly Xy[],
  piece: NetPiece | undefined,
): string {
  try {
    const rings =
      piece && (piece.sightRingsMm.length > 0 ? piece.sightRingsMm : [piece.centreRingMm]);
    return measureText(measureFinding(term, { kind, xyMm }, rings));
  } catch {
    // Too few points yet.
    return '';
  }
}

function middleOf(xyMm: readonly Xy[]): Xy {
  const sum = xyMm.reduce<[number, number]>(
    ([x, y], point) => [x + point[0], y + point[1]],
    [0, 0],
  );
  return [sum[0] / xyMm.length, sum[1] / xyMm.length];
}
